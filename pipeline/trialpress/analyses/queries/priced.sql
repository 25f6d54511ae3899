-- model: standings of set-ups as unboxed with the price of their machine
-- grain: one row a set-up and series, overall with version 0; key: protocol, version, setup
select
    t.protocol,
    t.version,
    t.position,
    t.setup,
    t.machine,
    t.maker,
    t.mean,
    t.low,
    t.high,
    t.n,
    t.place_best,
    t.place_worst,
    m.price,
    m.currency,
    m.priced_on,
    m.currency = b.currency as is_in_bench_currency,
    t.unit,
    t.decimals
from (
    select
        s.protocol,
        s.version,
        s.position,
        s.setup,
        s.machine,
        s.maker,
        s.mean,
        s.low,
        s.high,
        s.n,
        s.place_best,
        s.place_worst,
        s.unit,
        s.decimals
    from standings as s
    union all
    select
        'overall' as protocol,
        0 as version,
        o.position,
        o.setup,
        o.machine,
        o.maker,
        o.value as mean,
        o.low,
        o.high,
        null as n,
        o.place_best,
        o.place_worst,
        case o.by when 'ratio' then '%' else 'steps' end as unit,
        o.decimals
    from overall as o
    where o.ranks and o.scope = 'bench' and o.place is not null
) as t
inner join setups as u on t.setup = u.setup and u.stock
inner join machines as m on t.machine = m.machine
cross join build as b
order by t.protocol, t.version, t.position
