-- model: run_results
-- grain: one row a valid run; key: run
-- units: value and u_value in the protocol's unit
select
    run,
    value,
    u_value,
    flags
from run_results
order by run
