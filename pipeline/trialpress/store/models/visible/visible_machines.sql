-- model: visible_machines
-- grain: one row a machine that may be seen; key: machine
-- rule: a machine is seen through a visible set-up, never without one
select
    m.machine,
    m.maker,
    m.row_key,
    m.source_file,
    m.source_row
from loaded.machines as m
where m.machine in (select v.machine from visible_setups as v)
