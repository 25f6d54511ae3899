-- model: runs
-- grain: one row a run, valid, void or planned; key: run
-- rule: a graded run is many rows; its status is the greatest of theirs, as one void row voids it
--       and intake refuses a planned row beside a graded one (design, section 3); its graders are
--       its operators, its row the first of its rows
with every_run as (
    select
        r.run,
        r.day,
        r.day_date,
        r.at,
        r.setup,
        r.protocol,
        r.version,
        'weighings' as reading_table,
        r.replicate,
        r.status,
        r.reason,
        r.clip,
        r.operator,
        r.note,
        r.source_file as file,
        r.source_row as "row"
    from "weighings" as r
    union all
    select
        r.run,
        r.day,
        r.day_date,
        r.at,
        r.setup,
        r.protocol,
        r.version,
        'values' as reading_table,
        r.replicate,
        r.status,
        r.reason,
        r.clip,
        r.operator,
        r.note,
        r.source_file as file,
        r.source_row as "row"
    from "values" as r
    union all
    select
        r.run,
        r.day,
        r.day_date,
        r.at,
        r.setup,
        r.protocol,
        r.version,
        'counts' as reading_table,
        r.replicate,
        r.status,
        r.reason,
        r.clip,
        r.operator,
        r.note,
        r.source_file as file,
        r.source_row as "row"
    from "counts" as r
    union all
    select
        g.run,
        min(g.day) as day,
        min(g.day_date) as day_date,
        min(g.at) as at,
        min(g.setup) as setup,
        min(g.protocol) as protocol,
        min(g.version) as version,
        'gradings' as reading_table,
        min(g.replicate) as replicate,
        max(g.status) as status,
        min(g.reason) as reason,
        min(g.clip) as clip,
        string_agg(distinct g.grader, ', ' order by g.grader) as operator,
        min(g.note) as note,
        min(g.source_file) as file,
        min(g.source_row) as "row"
    from gradings as g
    group by g.run
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
