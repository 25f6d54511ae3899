-- every series is named after one of its own versions.
select
    s.protocol,
    s.version,
    s.series_version
from series as s
left join series as newest
    on s.protocol = newest.protocol and s.series_version = newest.version
where newest.version is null or newest.series_version <> s.series_version
