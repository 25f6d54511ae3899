-- model: set-ups with the names they are sorted by among equals
-- grain: one row a set-up; key: setup
select
    s.setup,
    s.machine,
    m.maker,
    m.kind,
    lower(k.name || ' ' || m.name || ' ' || s.label) as name
from setups as s
inner join machines as m on s.machine = m.machine
inner join makers as k on m.maker = k.maker
order by s.setup
