-- model: visible_readings
-- grain: one row of readings that may be seen; key: source_file, source_row
-- rule: of a day by the date of the build, with set-ups and protocol versions that are visible, as
--       typed, as corrected and in between
select
    r.of_table,
    r.run,
    r.row_key,
    r.source_file,
    r.source_row
from loaded.readings as r
cross join loaded.build as b
left join hidden_runs as h on r.of_table = h.of_table and r.run = h.run
where r.day_date <= b.as_of and h.run is null
