-- model: valid runs with what is known of their uncertainty
-- grain: one row a run; key: run
-- units: the protocol's unit
select
    r.protocol,
    r.series_version,
    r.setup,
    r.run,
    r.day,
    v.value,
    v.u_value,
    v.u_shared,
    v.tries
from run_values as v
inner join runs as r on v.run = r.run
order by r.protocol, r.series_version, r.setup, r.run
