-- model: makers
-- grain: one row a maker; key: maker
select
    maker,
    name,
    website
from makers
order by name, maker
