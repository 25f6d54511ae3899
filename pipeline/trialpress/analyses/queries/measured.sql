-- model: what set-ups measure in current series that claims are made of
-- grain: one row a set-up and current series; key: protocol, version, setup
-- rule: means are unrounded, as verdicts are decided by them
with unboxed as (
    select
        t.machine,
        count(*) as setups
    from setups as t
    where t.stock
    group by t.machine
)

select
    c.protocol,
    c.version,
    c.setup,
    u.machine,
    u.stock as is_as_unboxed,
    u.stock and o.setups = 1 as is_only_one_as_unboxed,
    v.mean,
    v.low,
    v.high,
    v.interval_se,
    v.df,
    c.n,
    s.unit,
    s.better = 'higher' as higher_is_better,
    c.decimals,
    c.why
from cells as c
inner join cell_means as v
    on c.protocol = v.protocol and c.version = v.version and c.setup = v.setup
inner join setups as u on c.setup = u.setup
inner join series as s on c.protocol = s.protocol and c.version = s.version and s.is_current
left join unboxed as o on u.machine = o.machine
where c.protocol in (select q.quantity from claims as q)
order by c.protocol, c.version, u.source_row
