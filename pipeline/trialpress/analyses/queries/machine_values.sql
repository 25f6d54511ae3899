-- model: machines with a value
-- grain: one row a machine and series; key: protocol, version, machine
select
    v.protocol,
    v.version,
    v.machine,
    v.maker,
    v.value,
    v.kind,
    v.head,
    v.mop,
    v.price,
    v.price_band,
    v.price_band_from,
    v.released_year,
    s.better = 'higher' as higher_is_better,
    v.unit,
    v.decimals
from machine_values as v
inner join series as s on v.protocol = s.protocol and v.version = s.version
where v.value is not null
order by v.protocol, v.version, v.machine
