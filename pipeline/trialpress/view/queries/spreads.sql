-- model: spreads
-- grain: one row a series with results; key: protocol, version
-- units: spreads in the protocol's unit
with ends as (
    select
        protocol,
        version,
        min(spread) as spread_least,
        max(spread) as spread_most
    from cells
    group by all
)

select
    p.protocol,
    p.version,
    p.method,
    p.spread,
    c.spread_least,
    c.spread_most,
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
inner join ends as c on p.protocol = c.protocol and p.version = c.version
order by p.protocol, p.version
