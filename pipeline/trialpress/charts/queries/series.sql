-- model: series
-- grain: one row a series with standings; key: protocol, version
select
    s.protocol,
    s.version,
    s.title,
    s.unit,
    s.better
from series as s
where
    s.version = s.series_version
    and exists (
        select 1
        from standings as t
        where t.protocol = s.protocol and t.version = s.version
    )
order by s.protocol, s.version
