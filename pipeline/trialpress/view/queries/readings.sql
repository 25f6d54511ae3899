-- model: readings
-- grain: one row a reading of a run, as typed; key: run, position, zone, grader
-- rule: before any correction; the page lists the corrections beside them
with kinds as (
    select
        k.of_table,
        k.position,
        k.what
    from (
        values
        ('weighings', 1, 'dose'),
        ('weighings', 2, 'before'),
        ('weighings', 3, 'after'),
        ('weighings', 4, 'gain'),
        ('weighings', 5, 'blank'),
        ('values', 1, 'value'),
        ('counts', 1, 'hits'),
        ('counts', 2, 'tries'),
        ('gradings', 1, 'zone')
    ) as k (of_table, position, what)
),

every_reading as (
    select
        r.run,
        k.position,
        k.what,
        r.zone,
        r.grader,
        case k.what
            when 'dose' then r.dose_g
            when 'before' then r.before_g
            when 'after' then r.after_g
            when 'gain' then r.gain_g
            when 'blank' then r.blank_g
            when 'value' then r."value"
            when 'hits' then r.hits
            when 'tries' then r.tries
            when 'zone' then r.grade
        end as typed,
        case
            when k.of_table = 'weighings' then 'g'
            when k.of_table = 'values' then p.unit
            else ''
        end as unit
    from as_typed.readings as r
    inner join kinds as k on r.of_table = k.of_table
    inner join runs as n on r.run = n.run
    inner join protocols as p on n.protocol = p.protocol and n.version = p.version
)

select
    e.run,
    e.position,
    e.what,
    e.zone,
    e.grader,
    e.typed,
    e.unit
from every_reading as e
where e.typed is not null
order by e.run, e.position, e.zone || ', ' || e.grader
