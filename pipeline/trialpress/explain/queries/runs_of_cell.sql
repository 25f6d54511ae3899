-- model: the runs of one cell as published
-- grain: one row a run; parameters: set-up, protocol, series version
select
    r.run,
    r.day,
    r.value,
    r.u_value,
    r.flags
from run_results as r
where r.setup = $1 and r.protocol = $2 and r.series_version = $3
order by r.at, r.run
