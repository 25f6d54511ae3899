-- model: visible_corrections
-- grain: one row a corrected value that may be seen; key: correction, table, row, column
-- rule: made by the date of the build, to a row that is itself visible
select
    c.correction,
    c.source_file,
    c.source_row
from loaded.corrections as c
cross join loaded.build as b
inner join visible_rows as r
    on c."table" = r.of_table and c."row" = r.row_key
where c.corrected_on <= b.as_of
