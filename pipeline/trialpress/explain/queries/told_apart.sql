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
    c.setup = ? and c.protocol = ? and c.version = ? and c.relation in ('better', 'worse')
order by c.relation, c.difference desc, c.other
