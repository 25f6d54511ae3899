-- model: how a maker's set-ups as unboxed stand against those of all other makers, pair by pair
-- grain: one row a maker and series; key: protocol, version, maker
select
    c.protocol,
    c.version,
    m.maker,
    count(*) as pairs,
    count(*) filter (where c.relation = 'better') as better,
    count(*) filter (where c.relation = 'worse') as worse,
    count(*) filter (where c.relation = 'level') as level,
    count(*) filter (where c.relation = 'cannot tell') as cannot_tell
from comparisons as c
inner join setups as s on c.setup = s.setup and s.stock
inner join setups as o on c.other = o.setup and o.stock
inner join machines as m on s.machine = m.machine
inner join machines as n on o.machine = n.machine and m.maker <> n.maker
group by c.protocol, c.version, m.maker
order by c.protocol, c.version, m.maker
