-- model: readings
-- grain: one row a reading of a run, as typed; key: run, position, name
-- rule: before any correction; the page lists the corrections beside them
with weighed as (
    select
        run,
        unnest([
            {'position': 1, 'name': 'dose', 'typed': dose_g},
            {'position': 2, 'name': 'before', 'typed': before_g},
            {'position': 3, 'name': 'after', 'typed': after_g},
            {'position': 4, 'name': 'gain', 'typed': gain_g},
            {'position': 5, 'name': 'blank', 'typed': blank_g}
        ], recursive := true),
        'g' as unit
    from as_typed.weighings
),

counted as (
    select
        run,
        unnest([
            {'position': 1, 'name': 'hits', 'typed': hits},
            {'position': 2, 'name': 'tries', 'typed': tries}
        ], recursive := true),
        '' as unit
    from as_typed.counts
),

graded as (
    select
        run,
        1 as position,
        'zone ' || zone || ', ' || grader as name,
        grade as typed,
        '' as unit
    from as_typed.gradings
),

read as (
    select
        v.run,
        1 as position,
        'value' as name,
        v.value as typed,
        p.unit
    from as_typed."values" as v
    inner join runs as r on v.run = r.run
    inner join protocols as p on r.protocol = p.protocol and r.version = p.version
)

select
    run,
    position,
    name,
    typed,
    unit
from (
    select run, position, name, typed, unit from weighed
    union all by name
    select run, position, name, typed, unit from counted
    union all by name
    select run, position, name, typed, unit from graded
    union all by name
    select run, position, name, typed, unit from read
) as every_reading
where typed is not null
order by run, position, name
