-- model: runs
-- grain: one row a run of any status, oldest first; key: run
-- rule: a value, its uncertainty and flags only where the run is valid
select
    r.run,
    r.day,
    r.day_date,
    r.at,
    r.setup,
    r.protocol,
    r.version,
    r.series_version,
    r.status,
    r.reason,
    r.clip,
    r.operator,
    r.note,
    r.file,
    r."row",
    v.value,
    v.u_value,
    v.flags
from runs as r
left join run_results as v on r.run = v.run
order by r.day_date, r.at, r.run
