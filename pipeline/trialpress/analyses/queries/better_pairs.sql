-- model: pairs of one series of which one set-up is better than the other
-- grain: one row an ordered pair; key: setup, other
-- rule: in a series as comparisons tell it; in the overall where the ranges of places lie apart
with pairs as (
    select
        c.protocol,
        c.version,
        c.setup,
        c.other
    from comparisons as c
    where c.relation = 'better'
    union all
    select
        'overall' as protocol,
        0 as version,
        a.setup,
        b.setup as other
    from overall as a
    inner join overall as b on a.scope = b.scope and a.place_worst < b.place_best
    where a.ranks and b.ranks and a.scope = 'bench'
)

select
    setup,
    other
from pairs
where protocol = $1 and version = $2
order by setup, other
