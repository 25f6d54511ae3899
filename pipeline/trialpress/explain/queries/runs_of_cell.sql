-- model: the runs of one cell as published
-- grain: one row a run; parameters: set-up, protocol, series version
select
    r.run,
    r.day,
    r.value,
    r.u_value,
    r.flags
from run_results as r
where r.setup = ? and r.protocol = ? and r.series_version = ?
order by r.at, r.run
