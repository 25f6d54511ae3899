-- model: every valid run with its value, unrounded, and what it is called
-- grain: one row a run; key: run
select
    r.run,
    r.setup,
    r.protocol,
    r.series_version as version,
    v.value,
    s.title,
    s.unit,
    k.name || ' ' || m.name || ', ' || u.label as name
from run_values as v
inner join runs as r on v.run = r.run
inner join series as s on r.protocol = s.protocol and r.series_version = s.version
inner join setups as u on r.setup = u.setup
inner join machines as m on u.machine = m.machine
inner join makers as k on m.maker = k.maker
order by r.run
