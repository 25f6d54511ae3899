-- model: visible_findings
-- grain: one row a warning about a row that may be seen
-- rule: a warning is seen with the row it speaks of
with visible_rows as (
    select
        v.source_file,
        v.source_row
    from visible_makers as v
    union all
    select
        v.source_file,
        v.source_row
    from visible_machines as v
    union all
    select
        v.source_file,
        v.source_row
    from visible_setups as v
    union all
    select
        v.source_file,
        v.source_row
    from visible_floors as v
    union all
    select
        v.source_file,
        v.source_row
    from visible_soils as v
    union all
    select
        v.source_file,
        v.source_row
    from visible_instruments as v
    union all
    select
        v.source_file,
        v.source_row
    from visible_protocols as v
    union all
    select
        v.source_file,
        v.source_row
    from visible_claims as v
    union all
    select
        v.source_file,
        v.source_row
    from visible_weighings as v
    union all
    select
        v.source_file,
        v.source_row
    from visible_values as v
    union all
    select
        v.source_file,
        v.source_row
    from visible_counts as v
    union all
    select
        v.source_file,
        v.source_row
    from visible_gradings as v
    union all
    select
        v.source_file,
        v.source_row
    from visible_conditions as v
    union all
    select
        v.source_file,
        v.source_row
    from visible_photos as v
)

select
    f.code,
    f.severity,
    f.file,
    f."row",
    f."column",
    f.value,
    f.problem,
    f.remedy
from loaded.findings as f
inner join visible_rows as r
    on f.file = r.source_file and f."row" = r.source_row
