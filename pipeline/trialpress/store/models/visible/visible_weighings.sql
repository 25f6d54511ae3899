-- model: visible_weighings
-- grain: one row of weighings that may be seen; key: run
-- rule: of a day by the date of the build, with set-ups and protocol versions that are visible, as
--       typed, as corrected and in between
select
    r.run,
    r.source_file,
    r.source_row
from loaded."weighings" as r
cross join loaded.build as b
where
    r.day_date <= b.as_of
    and r.run not in (
        select h.run
        from hidden_runs as h
        where h.of_table = 'weighings'
    )
