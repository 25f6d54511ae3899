-- model: visible_rows
-- grain: one row a row that may be seen, corrections aside; key: source_file, source_row
-- rule: published_row counts the visible rows of a file only, so that no gap in the numbers tells
--       of a hidden one; without an embargo it is the row that a spreadsheet shows
with every_row as (
    select
        'makers' as of_table,
        t.row_key,
        t.source_file,
        t.source_row
    from loaded."makers" as t
    inner join visible_makers as v
        on t.source_file = v.source_file and t.source_row = v.source_row
    union all
    select
        'machines' as of_table,
        t.row_key,
        t.source_file,
        t.source_row
    from loaded."machines" as t
    inner join visible_machines as v
        on t.source_file = v.source_file and t.source_row = v.source_row
    union all
    select
        'setups' as of_table,
        t.row_key,
        t.source_file,
        t.source_row
    from loaded."setups" as t
    inner join visible_setups as v
        on t.source_file = v.source_file and t.source_row = v.source_row
    union all
    select
        'floors' as of_table,
        t.row_key,
        t.source_file,
        t.source_row
    from loaded."floors" as t
    inner join visible_floors as v
        on t.source_file = v.source_file and t.source_row = v.source_row
    union all
    select
        'soils' as of_table,
        t.row_key,
        t.source_file,
        t.source_row
    from loaded."soils" as t
    inner join visible_soils as v
        on t.source_file = v.source_file and t.source_row = v.source_row
    union all
    select
        'instruments' as of_table,
        t.row_key,
        t.source_file,
        t.source_row
    from loaded."instruments" as t
    inner join visible_instruments as v
        on t.source_file = v.source_file and t.source_row = v.source_row
    union all
    select
        'protocols' as of_table,
        t.row_key,
        t.source_file,
        t.source_row
    from loaded."protocols" as t
    inner join visible_protocols as v
        on t.source_file = v.source_file and t.source_row = v.source_row
    union all
    select
        'claims' as of_table,
        t.row_key,
        t.source_file,
        t.source_row
    from loaded."claims" as t
    inner join visible_claims as v
        on t.source_file = v.source_file and t.source_row = v.source_row
    union all
    select
        'weighings' as of_table,
        t.row_key,
        t.source_file,
        t.source_row
    from loaded."weighings" as t
    inner join visible_weighings as v
        on t.source_file = v.source_file and t.source_row = v.source_row
    union all
    select
        'values' as of_table,
        t.row_key,
        t.source_file,
        t.source_row
    from loaded."values" as t
    inner join visible_values as v
        on t.source_file = v.source_file and t.source_row = v.source_row
    union all
    select
        'counts' as of_table,
        t.row_key,
        t.source_file,
        t.source_row
    from loaded."counts" as t
    inner join visible_counts as v
        on t.source_file = v.source_file and t.source_row = v.source_row
    union all
    select
        'gradings' as of_table,
        t.row_key,
        t.source_file,
        t.source_row
    from loaded."gradings" as t
    inner join visible_gradings as v
        on t.source_file = v.source_file and t.source_row = v.source_row
    union all
    select
        'conditions' as of_table,
        t.row_key,
        t.source_file,
        t.source_row
    from loaded."conditions" as t
    inner join visible_conditions as v
        on t.source_file = v.source_file and t.source_row = v.source_row
    union all
    select
        'photos' as of_table,
        t.row_key,
        t.source_file,
        t.source_row
    from loaded."photos" as t
    inner join visible_photos as v
        on t.source_file = v.source_file and t.source_row = v.source_row
)

select
    r.of_table,
    r.row_key,
    r.source_file,
    r.source_row,
    1 + row_number() over (partition by r.source_file order by r.source_row) as published_row
from every_row as r
