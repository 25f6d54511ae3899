-- model: titles of series
-- grain: one row a series; key: protocol, version
select
    s.protocol,
    s.version,
    s.title,
    s.unit,
    s.better,
    s.is_current
from series as s
where s.version = s.series_version
order by s.protocol, s.version
