-- model: machine_values
-- grain: one row a machine and series; key: protocol, version, machine
-- units: the protocol's unit; price in the bench's currency
-- rule: the median over its set-ups as unboxed, never its best; prices in other currencies are left
-- blank; price bands run in steps of 1, 2 and 5, and a band's code is both its ends; why is a code
with priced as (
    select
        m.machine,
        case when m.currency = b.currency then m.price end as price
    from machines as m
    cross join build as b
),

lower_ends as (
    select
        p.machine,
        p.price,
        pow(10, floor(log10(p.price) + 1e-12)) as ten
    from priced as p
    where p.price > 0
),

bands as (
    select
        l.machine,
        case when l.price >= 5 * l.ten then 5 when l.price >= 2 * l.ten then 2 else 1 end
        * l.ten as low,
        case when l.price >= 5 * l.ten then 10 when l.price >= 2 * l.ten then 5 else 2 end
        * l.ten as high
    from lower_ends as l
)

select
    t.protocol,
    t.version,
    t.machine,
    t.maker,
    count(*) filter (where u.stock) as setups,
    round_even(
        round(median(t.mean) filter (where u.stock) * pow(10, any_value(t.decimals)), 6), 0
    ) / pow(10, any_value(t.decimals)) as value,
    m.kind,
    m.head,
    m.mop,
    p.price,
    printf('%g-%g', b.low, b.high) as price_band,
    b.low as price_band_from,
    b.high as price_band_to,
    year(m.released) as released_year,
    any_value(t.unit) as unit,
    any_value(t.decimals) as decimals,
    case
        when count(*) filter (where u.stock) = 0 then 'none-as-unboxed'
    end as why
from standings as t
inner join setups as u on t.setup = u.setup
inner join machines as m on t.machine = m.machine
inner join priced as p on t.machine = p.machine
left join bands as b on t.machine = b.machine
group by
    t.protocol, t.version, t.machine, t.maker, m.kind, m.head, m.mop, p.price, b.low, b.high,
    m.released
order by t.protocol, t.version, t.machine
