-- model: what set-ups as unboxed measure in current series
-- grain: one row a set-up and current series; key: protocol, version, setup
select
    c.protocol,
    c.version,
    c.setup,
    u.machine,
    c.mean,
    c.low,
    c.high,
    c.n,
    s.unit,
    s.better = 'higher' as higher_is_better,
    c.decimals,
    c.why
from cells as c
inner join setups as u on c.setup = u.setup and u.stock
inner join series as s on c.protocol = s.protocol and c.version = s.version and s.is_current
order by c.protocol, c.version, c.setup
