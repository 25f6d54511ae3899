-- model: names of set-ups
-- grain: one row a set-up; key: setup
select
    s.setup,
    s.label,
    s.machine,
    m.name as machine_name,
    m.maker,
    k.name as maker_name
from setups as s
inner join machines as m on s.machine = m.machine
inner join makers as k on m.maker = k.maker
order by s.setup
