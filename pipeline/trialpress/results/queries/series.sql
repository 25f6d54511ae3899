-- model: series with the rules that rank them
-- grain: one row a series; key: protocol, version
select
    s.protocol,
    s.version,
    s.title,
    s.floor,
    s.unit,
    s.better = 'higher' as higher_is_better,
    s.min_runs,
    s.matters,
    s.in_overall as weight,
    s.reading in ('count', 'graded') as is_share,
    s.is_current,
    case when s.reading in ('count', 'graded') then 0.0::double end as lowest,
    case when s.reading in ('count', 'graded', 'left') then 100.0::double end as highest
from series as s
where s.version = s.series_version
order by s.protocol, s.version
