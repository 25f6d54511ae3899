-- model: series
-- grain: one row a series with standings; key: protocol, version
-- rule: by title, as pages list them; the current series before earlier ones
select
    s.protocol,
    s.version,
    s.title,
    s.unit,
    s.better,
    s.is_current
from series as s
where
    s.version = s.series_version
    and exists (
        select 1
        from standings as t
        where t.protocol = s.protocol and t.version = s.version
    )
order by s.title asc, s.protocol asc, s.version desc
