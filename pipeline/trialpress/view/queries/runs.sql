-- model: runs
-- grain: one row a run of any status, oldest first; key: run
select
    r.run,
    r.day,
    r.day_date,
    r.at,
    r.setup,
    r.protocol,
    r.version,
    r.series_version,
    r.reading,
    r.reading_table,
    s.unit,
    r.status,
    r.reason,
    r.clip,
    r.operator,
    r.note,
    r.file,
    r."row"
from runs as r
inner join series as s on r.protocol = s.protocol and r.version = s.version
order by r.day_date, r.at, r.run
