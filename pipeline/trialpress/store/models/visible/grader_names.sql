-- model: grader_names
-- grain: one row a grader of visible rows, with what is published of the name; key: grader
-- rule: the name itself where the bench shows operators; else a number, by the first visible row
--       that the grader graded
with first_rows as (
    select
        g.grader,
        min(row(g.day_date, g.source_file, g.source_row)) as first_row
    from loaded.gradings as g
    inner join visible_readings as v
        on g.source_file = v.source_file and g.source_row = v.source_row
    group by g.grader
)

select
    f.grader,
    case
        when b.show_operators then f.grader
        else 'grader-' || row_number() over (order by f.first_row)
    end as published_name
from first_rows as f
cross join loaded.build as b
