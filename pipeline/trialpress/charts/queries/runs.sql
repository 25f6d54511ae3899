-- model: run_results
-- grain: one row a valid run; key: run
-- rule: version is that of the series, as in the standings
select
    r.run,
    r.day,
    r.setup,
    r.protocol,
    r.series_version as version,
    r.value
from run_results as r
order by r.protocol, r.series_version, r.setup, r.day, r.run
