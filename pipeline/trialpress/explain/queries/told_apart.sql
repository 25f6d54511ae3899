-- model: set-ups that can be told apart from one
-- grain: one row a set-up; parameters: set-up, protocol, series version
select
    c.other as setup,
    c.difference,
    c.low,
    c.high,
    c.relation
from comparisons as c
where
    c.setup = $1 and c.protocol = $2 and c.version = $3 and c.relation in ('better', 'worse')
order by c.relation asc, c.difference desc, c.other asc
