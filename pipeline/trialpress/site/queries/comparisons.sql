-- model: comparisons
-- grain: one row an ordered pair of set-ups of a series; key: protocol, version, setup, other
-- units: difference, low and high in the protocol's unit, setup minus other
-- rule: the others in the order of the standing
select
    c.protocol,
    c.version,
    c.setup,
    c.other,
    c.difference,
    c.low,
    c.high,
    c.relation,
    c.by_less_than_matters
from comparisons as c
inner join standings as s
    on c.protocol = s.protocol and c.version = s.version and c.other = s.setup
order by c.protocol, c.version, c.setup, s.position
