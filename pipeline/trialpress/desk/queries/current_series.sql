-- model: the current series of one protocol
-- grain: one row at most; parameter: protocol
select
    s.version,
    s.matters,
    s.unit,
    s.better = 'higher' as higher_is_better
from series as s
where s.protocol = $1 and s.version = s.series_version and s.is_current
