-- model: standings to be explained
-- grain: one row a set-up and series; key: setup, protocol, version
select
    t.setup,
    t.protocol,
    t.mean,
    t.low,
    t.high,
    t.place,
    t.place_best,
    t.place_worst,
    t.unit,
    t.version
from standings as t
order by t.protocol, t.version, t.position
