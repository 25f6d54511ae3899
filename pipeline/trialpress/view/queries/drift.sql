-- model: drift
-- grain: one row a run of a reference set-up, charts one after the other, oldest run first;
--        key: protocol, version, setup, floor, position
-- rule: a chart is one series, reference set-up and floor, with the mean of each day; decimals are
--       those of its runs
select
    d.protocol,
    d.version,
    d.setup,
    d.floor,
    d.run,
    d.day,
    r.day_date,
    d.at,
    d.position,
    d.value,
    d.day_position,
    d.day_value,
    d.baseline,
    d.centre,
    d.lower,
    d.upper,
    d.moving_average,
    d.average_lower,
    d.average_upper,
    d.flags,
    d.notices,
    c.decimals + 1 as decimals
from drift as d
inner join runs as r on d.run = r.run
inner join cells as c
    on d.protocol = c.protocol and d.version = c.version and d.setup = c.setup
order by d.protocol asc, d.version asc, d.setup asc, d.floor asc, d.position asc
