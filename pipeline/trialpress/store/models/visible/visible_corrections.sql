-- model: visible_corrections
-- grain: one row a corrected value that may be seen; key: correction, table, row, column
-- rule: made by the date of the build, to a row that is itself visible
with visible_rows as (
    select
        'makers' as of_table,
        t.row_key
    from loaded."makers" as t
    inner join visible_makers as v
        on t.source_file = v.source_file and t.source_row = v.source_row
    union all
    select
        'machines' as of_table,
        t.row_key
    from loaded."machines" as t
    inner join visible_machines as v
        on t.source_file = v.source_file and t.source_row = v.source_row
    union all
    select
        'setups' as of_table,
        t.row_key
    from loaded."setups" as t
    inner join visible_setups as v
        on t.source_file = v.source_file and t.source_row = v.source_row
    union all
    select
        'floors' as of_table,
        t.row_key
    from loaded."floors" as t
    inner join visible_floors as v
        on t.source_file = v.source_file and t.source_row = v.source_row
    union all
    select
        'soils' as of_table,
        t.row_key
    from loaded."soils" as t
    inner join visible_soils as v
        on t.source_file = v.source_file and t.source_row = v.source_row
    union all
    select
        'instruments' as of_table,
        t.row_key
    from loaded."instruments" as t
    inner join visible_instruments as v
        on t.source_file = v.source_file and t.source_row = v.source_row
    union all
    select
        'protocols' as of_table,
        t.row_key
    from loaded."protocols" as t
    inner join visible_protocols as v
        on t.source_file = v.source_file and t.source_row = v.source_row
    union all
    select
        'claims' as of_table,
        t.row_key
    from loaded."claims" as t
    inner join visible_claims as v
        on t.source_file = v.source_file and t.source_row = v.source_row
    union all
    select
        'weighings' as of_table,
        t.row_key
    from loaded."weighings" as t
    inner join visible_weighings as v
        on t.source_file = v.source_file and t.source_row = v.source_row
    union all
    select
        'values' as of_table,
        t.row_key
    from loaded."values" as t
    inner join visible_values as v
        on t.source_file = v.source_file and t.source_row = v.source_row
    union all
    select
        'counts' as of_table,
        t.row_key
    from loaded."counts" as t
    inner join visible_counts as v
        on t.source_file = v.source_file and t.source_row = v.source_row
    union all
    select
        'gradings' as of_table,
        t.row_key
    from loaded."gradings" as t
    inner join visible_gradings as v
        on t.source_file = v.source_file and t.source_row = v.source_row
    union all
    select
        'conditions' as of_table,
        t.row_key
    from loaded."conditions" as t
    inner join visible_conditions as v
        on t.source_file = v.source_file and t.source_row = v.source_row
    union all
    select
        'photos' as of_table,
        t.row_key
    from loaded."photos" as t
    inner join visible_photos as v
        on t.source_file = v.source_file and t.source_row = v.source_row
)

select
    c.correction,
    c.source_file,
    c.source_row
from loaded.corrections as c
cross join loaded.build as b
inner join visible_rows as r
    on c."table" = r.of_table and c."row" = r.row_key
where c.corrected_on <= b.as_of
