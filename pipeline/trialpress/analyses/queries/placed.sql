-- model: who stands where, in every series and in the overall
-- grain: one row a set-up and series, overall with version 0; key: protocol, version, setup
select
    s.protocol,
    s.version,
    s.setup,
    s.place,
    s.mean,
    s.place_best,
    s.place_worst,
    s.decimals
from standings as s
union all
select
    'overall' as protocol,
    0 as version,
    o.setup,
    o.place,
    o.value as mean,
    o.place_best,
    o.place_worst,
    o.decimals
from overall as o
where o.ranks and o.scope = 'bench' and o.place is not null
order by protocol, version, place, setup
