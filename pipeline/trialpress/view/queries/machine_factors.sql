-- model: every machine of a series under each thing that it is
-- grain: one row a current series, factor and machine that has one
-- key: protocol, version, factor, machine
-- rule: factors and their groups as in associations; a year of release is a group of its own here
with levels as (
    select
        v.protocol,
        v.version,
        v.machine,
        v.value,
        v.unit,
        v.decimals,
        f.factor,
        f.turn,
        case f.factor
            when 'kind' then v.kind
            when 'head' then v.head
            when 'mop' then v.mop
            when 'price-band' then v.price_band
            else cast(v.released_year as varchar)
        end as level,
        case when f.factor = 'price-band' then v.price_band_from else 0 end as level_from
    from machine_values as v
    cross join (
        values ('kind', 1), ('head', 2), ('mop', 3), ('price-band', 4), ('released-year', 5)
    ) as f (factor, turn)
    where v.value is not null
)

select
    v.protocol,
    v.version,
    s.title,
    s.better,
    v.factor,
    v.level,
    v.machine,
    m.name as machine_name,
    k.name as maker_name,
    v.value,
    v.unit,
    v.decimals,
    a.machines,
    a.effect_name,
    a.effect,
    a.effect_low,
    a.effect_high
from levels as v
inner join series as s on v.protocol = s.protocol and v.version = s.version and s.is_current
inner join machines as m on v.machine = m.machine
inner join makers as k on m.maker = k.maker
inner join associations as a
    on v.protocol = a.protocol and v.version = a.version and v.factor = a.factor
where v.level is not null
order by v.protocol, v.version, v.turn, v.level_from, v.level, v.machine
