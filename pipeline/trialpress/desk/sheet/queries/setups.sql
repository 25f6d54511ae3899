-- model: every set-up and what it is called
-- grain: one row a set-up; key: setup
select
    u.setup,
    k.name || ' ' || m.name || ', ' || u.label as name
from setups as u
inner join machines as m on u.machine = m.machine
inner join makers as k on m.maker = k.maker
order by k.name, m.name, u.label, u.setup
