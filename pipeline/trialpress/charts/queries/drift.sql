-- model: drift
-- grain: one row a run of a reference set-up, charts one after the other, oldest run first;
--        key: protocol, version, setup, floor, position
-- rule: a chart is one series, reference set-up and floor
select
    d.protocol,
    d.version,
    d.setup,
    d.floor,
    s.title,
    s.unit,
    s.is_current,
    d.run,
    d.day,
    d.position,
    d.value,
    d.baseline,
    d.centre,
    d.lower,
    d.upper,
    d.moving_average,
    d.average_lower,
    d.average_upper,
    d.flags
from drift as d
inner join series as s on d.protocol = s.protocol and d.version = s.version
order by d.protocol asc, d.version asc, d.setup asc, d.floor asc, d.position asc
