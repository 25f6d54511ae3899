-- model: runs
-- grain: one row a run, valid, void or planned; key: run
-- rule: a graded run is many rows; its status is the greatest of theirs, as one void row voids it
--       and intake refuses a planned row beside a graded one (design, section 3); its graders are
--       its operators, its row the first of its rows
with every_run as (
    select
        r.run,
        r.of_table as reading_table,
        min(r.day) as day,
        min(r.day_date) as day_date,
        min(r.at) as at,
        min(r.setup) as setup,
        min(r.protocol) as protocol,
        min(r.version) as version,
        min(r.replicate) as replicate,
        max(r.status) as status,
        min(r.reason) as reason,
        min(r.clip) as clip,
        coalesce(
            string_agg(distinct r.grader, ', ' order by r.grader), min(r.operator)
        ) as operator,
        min(r.note) as note,
        min(r.source_file) as file,
        min(r.source_row) as "row"
    from readings as r
    group by r.run, r.of_table
)

select
    r.run,
    r.day,
    r.day_date,
    r.at,
    r.setup,
    r.protocol,
    r.version,
    s.series_version,
    s.reading,
    r.reading_table,
    r.replicate,
    r.status,
    r.reason,
    r.clip,
    r.operator,
    r.note,
    r.file,
    r."row"
from every_run as r
inner join series as s
    on r.protocol = s.protocol and r.version = s.version
order by r.run
