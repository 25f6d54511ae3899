-- model: setup_deltas
-- grain: one row a pair of set-ups of one machine and series; key: protocol, version, setup, other
-- units: the protocol's unit; difference is set-up minus other
-- rule: other is the one as unboxed, then the one that comes first in the catalogue; intervals are
-- those of comparisons, simultaneous over all set-ups of the series; differs and why are codes
with numbered as (
    select
        s.setup,
        s.machine,
        s.brushes,
        s.mode,
        s.pattern,
        s.overlap,
        s.water,
        s.firmware,
        s.specimen,
        row_number() over (partition by s.machine order by s.stock desc, s.source_row asc) as turn
    from setups as s
),

pairs as (
    select
        a.machine,
        a.setup,
        b.setup as other,
        concat_ws(
            '|',
            case when a.brushes is distinct from b.brushes then 'brushes' end,
            case when a.mode is distinct from b.mode then 'mode' end,
            case when a.pattern is distinct from b.pattern then 'pattern' end,
            case when a.overlap is distinct from b.overlap then 'overlap' end,
            case when a.water is distinct from b.water then 'water' end,
            case when a.firmware is distinct from b.firmware then 'firmware' end,
            case when a.specimen is distinct from b.specimen then 'specimen' end
        ) as differs
    from numbered as a
    inner join numbered as b on a.machine = b.machine and a.turn > b.turn
),

either as (
    select distinct
        p.machine,
        p.setup,
        p.other,
        p.differs,
        c.protocol,
        c.version
    from pairs as p
    inner join cells as c on c.setup in (p.setup, p.other)
)

select
    e.machine,
    e.protocol,
    e.version,
    e.setup,
    e.other,
    e.differs,
    a.n,
    b.n as other_n,
    a.mean,
    b.mean as other_mean,
    d.difference,
    d.low,
    d.high,
    coalesce(d.relation, 'cannot tell') as relation,
    coalesce(d.by_less_than_matters, false) as by_less_than_matters,
    case
        when a.setup is null then 'no-run'
        when b.setup is null then 'no-run-of-other'
        when d.low is null then a.why
    end as why,
    s.unit,
    coalesce(a.decimals, b.decimals) as decimals
from either as e
inner join series as s on e.protocol = s.protocol and e.version = s.version
left join cells as a on e.protocol = a.protocol and e.version = a.version and e.setup = a.setup
left join cells as b on e.protocol = b.protocol and e.version = b.version and e.other = b.setup
left join comparisons as d
    on
        e.protocol = d.protocol
        and e.version = d.version
        and e.setup = d.setup
        and e.other = d.other
order by e.machine, e.setup, e.other, e.protocol, e.version
