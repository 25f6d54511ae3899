-- model: standings
-- grain: one row a set-up and series, in the order results decided; key: protocol, version, setup
select
    s.protocol,
    s.version,
    s.position,
    s.place,
    s.setup,
    s.machine,
    s.maker,
    s.mean,
    s.low,
    s.high,
    s.n,
    s.place_best,
    s.place_worst,
    s.chance_top,
    s.top,
    s.relation_to_first,
    s.on_one_run,
    s.one_sitting,
    s.provisional,
    s.decimals,
    s.unit,
    c.unusual_spread,
    c.why
from standings as s
inner join cells as c
    on s.protocol = c.protocol and s.version = c.version and s.setup = c.setup
order by s.protocol, s.version, s.position
