-- model: visible_soils
-- grain: one row of soils; key: soil
-- rule: soils are never under embargo
select
    t.soil,
    t.source_file,
    t.source_row
from loaded.soils as t
