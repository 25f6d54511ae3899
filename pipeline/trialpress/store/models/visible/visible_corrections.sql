-- model: visible_corrections
-- grain: one row a corrected value that may be seen; key: source_file, source_row
-- rule: made by the date of the build, to a row that is itself visible, after the last value that
--       may not be named
select
    f.correction,
    f.source_file,
    f.source_row,
    1 + row_number() over (partition by f.source_file order by f.source_row) as published_row
from corrections_in_force as f
inner join visible_rows as r
    on f.of_table = r.of_table and f.row_key = r.row_key
left join hidden_histories as h
    on f.of_table = h.of_table and f.row_key = h.row_key and f.of_column = h.of_column
where h.to_step is null or f.step > h.to_step
