-- model: visible_makers
-- grain: one row a maker that may be seen; key: maker
-- rule: a maker is seen through a visible machine, never without one
select
    m.maker,
    m.row_key,
    m.source_file,
    m.source_row
from loaded.makers as m
where m.maker in (select v.maker from visible_machines as v)
