-- model: the standing of one set-up in the series of a version, the newest series without one
-- grain: one row at most; parameters: set-up, protocol, version or null
select
    t.setup,
    t.protocol,
    t.mean,
    t.low,
    t.high,
    t.place,
    t.place_best,
    t.place_worst,
    t.unit,
    t.version
from standings as t
inner join series as s
    on t.protocol = s.protocol and t.version = s.series_version
where t.setup = $1 and t.protocol = $2 and coalesce(s.version = $3, s.is_current)
order by t.version
limit 1
