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
    p.decimals,
    s.unit,
    p.why
from spreads as p
inner join series as s on p.protocol = s.protocol and p.version = s.version
order by p.protocol, p.version
