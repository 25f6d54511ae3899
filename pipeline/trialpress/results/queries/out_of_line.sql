-- model: reference runs that are out of line
-- grain: one row a run; key: run
select
    d.protocol,
    d.version,
    d.setup,
    d.floor,
    d.day,
    d.run,
    d.flags,
    d.notices
from drift as d
where d.flags <> '' or d.notices <> ''
order by d.protocol, d.version, d.setup, d.floor, d.position
