-- model: visible_conditions
-- grain: one row of conditions that may be seen; key: source_file, source_row
-- rule: of a day by the date of the build
select
    c.row_key,
    c.source_file,
    c.source_row
from loaded.conditions as c
cross join loaded.build as b
where c.day_date <= b.as_of
