-- model: corrections_in_force
-- grain: one row a corrected value by the date of the build; key: correction, of_table, row_key,
--        of_column
-- rule: what a row said before, between and after corrections counts as something it refers to;
--       step is the order in which corrections apply
select
    c.correction,
    c."table" as of_table,
    c."row" as row_key,
    c."column" as of_column,
    c.was,
    c.now,
    c.source_file,
    c.source_row,
    row_number() over (order by c.corrected_on, c.source_row) as step
from loaded.corrections as c
cross join loaded.build as b
where c.corrected_on <= b.as_of
