-- model: agreements
-- grain: one row a series and pair of graders; key: protocol, version, grader, other
-- units: kappa, from -1 to 1
select
    protocol,
    version,
    grader,
    other,
    zones,
    kappa,
    low,
    high
from agreements
order by protocol, version, grader, other
