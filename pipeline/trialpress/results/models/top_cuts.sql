-- model: top_cuts
-- grain: one row a set-up and series; key: protocol, version, setup
-- units: the protocol's unit; gap_to_cut is what is missing to the cut value, below 0 inside it
-- rule: the cut value is the published mean of the last set-up with a place of top_n or better
with cut as (
    select
        s.protocol,
        s.version,
        case when p.better = 'higher' then min(s.mean) else max(s.mean) end as cut_value
    from standings as s
    inner join series as p on s.protocol = p.protocol and s.version = p.version
    cross join build as b
    where s.place <= b.top_n
    group by s.protocol, s.version, p.better
)

select
    s.protocol,
    s.version,
    b.top_n,
    s.setup,
    s.place,
    s.mean,
    c.cut_value,
    round(
        case when p.better = 'higher' then c.cut_value - s.mean else s.mean - c.cut_value end,
        s.decimals::integer
    ) as gap_to_cut,
    s.place <= b.top_n as inside,
    s.top
from standings as s
inner join series as p on s.protocol = p.protocol and s.version = p.version
inner join cut as c on s.protocol = c.protocol and s.version = c.version
cross join build as b
order by s.protocol, s.version, s.position
