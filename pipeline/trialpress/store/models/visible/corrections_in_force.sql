-- model: corrections_in_force
-- grain: one row a corrected value by the date of the build; key: correction, of_table, row_key,
--        of_column
-- rule: what a row said before, between and after corrections counts as something it refers to
select
    c.correction,
    c."table" as of_table,
    c."row" as row_key,
    c."column" as of_column,
    c.was,
    c.now
from loaded.corrections as c
cross join loaded.build as b
where c.corrected_on <= b.as_of
