-- model: comparisons
-- grain: one row an ordered pair of set-ups of one series; key: at, other_at
-- units: difference, low and high in the protocol's unit, setup minus other
-- rule: at and other_at are where the two stand, from 0; parameters: protocol, series version
select
    s.position - 1 as "at",
    o.position - 1 as other_at,
    c.difference,
    c.low,
    c.high,
    c.relation,
    c.by_less_than_matters
from comparisons as c
inner join standings as s
    on c.protocol = s.protocol and c.version = s.version and c.setup = s.setup
inner join standings as o
    on c.protocol = o.protocol and c.version = o.version and c.other = o.setup
where c.protocol = $1 and c.version = $2
