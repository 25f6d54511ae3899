-- model: spreads
-- grain: one row a series with results; key: protocol, version
-- units: spread and day_spread in the protocol's unit
select
    p.protocol,
    p.version,
    p.spread,
    p.dispersion,
    p.day_evidence,
    p.day_spread,
    p.sitting_evidence,
    p.sitting_spread,
    p.runs_to_decide,
    p.study_set_ups,
    p.study_case,
    p.setups,
    s.matters,
    p.decimals,
    s.unit,
    p.why
from spreads as p
inner join series as s on p.protocol = s.protocol and p.version = s.version
order by p.protocol, p.version
