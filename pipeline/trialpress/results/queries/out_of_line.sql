-- model: days on which a reference set-up is out of line, with its runs
-- grain: one row a day of a control chart; key: protocol, version, setup, floor, day
select
    d.protocol,
    d.version,
    d.setup,
    d.floor,
    d.day,
    string_agg(d.run, ', ' order by d.position) as runs,
    d.flags,
    d.notices
from drift as d
where d.flags <> '' or d.notices <> ''
group by
    d.protocol, d.version, d.setup, d.floor, d.day, d.day_position, d.flags, d.notices
order by d.protocol, d.version, d.setup, d.floor, d.day_position
