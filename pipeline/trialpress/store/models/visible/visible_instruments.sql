-- model: visible_instruments
-- grain: one row an instrument that may be seen; key: instrument
-- rule: hidden where every row that names it, as typed or corrected, is; one that was not used yet
--       may be seen
with readings as (
    select
        r.instrument,
        r.dose_instrument,
        r.source_file,
        r.source_row
    from loaded.readings as r
    union all
    select
        t.instrument,
        t.dose_instrument,
        t.source_file,
        t.source_row
    from loaded.readings_as_typed as t
),

uses as (
    select
        r.instrument,
        r.source_file,
        r.source_row
    from readings as r
    union all
    select
        r.dose_instrument as instrument,
        r.source_file,
        r.source_row
    from readings as r
    union all
    select
        c.instrument,
        c.source_file,
        c.source_row
    from loaded.conditions as c
    union all
    select
        t.instrument,
        t.source_file,
        t.source_row
    from loaded.conditions_as_typed as t
),

visible as (
    select
        v.source_file,
        v.source_row
    from visible_readings as v
    union all
    select
        v.source_file,
        v.source_row
    from visible_conditions as v
)

select
    i.instrument,
    i.row_key,
    i.source_file,
    i.source_row
from loaded.instruments as i
left join uses as u on i.instrument = u.instrument
left join visible as v
    on u.source_file = v.source_file and u.source_row = v.source_row
group by i.instrument, i.row_key, i.source_file, i.source_row
having count(u.instrument) = 0 or count(v.source_row) > 0
