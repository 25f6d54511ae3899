-- model: readings
-- grain: one row a reading of a run, as typed; key: run, position, name
-- rule: before any correction; the page lists the corrections beside them
with every_reading as (
    select
        w.run,
        1 as position,
        'dose' as what,
        null as zone,
        null as grader,
        w.dose_g as typed,
        'g' as unit
    from as_typed.weighings as w
    union all
    select
        w.run,
        2 as position,
        'before' as what,
        null as zone,
        null as grader,
        w.before_g as typed,
        'g' as unit
    from as_typed.weighings as w
    union all
    select
        w.run,
        3 as position,
        'after' as what,
        null as zone,
        null as grader,
        w.after_g as typed,
        'g' as unit
    from as_typed.weighings as w
    union all
    select
        w.run,
        4 as position,
        'gain' as what,
        null as zone,
        null as grader,
        w.gain_g as typed,
        'g' as unit
    from as_typed.weighings as w
    union all
    select
        w.run,
        5 as position,
        'blank' as what,
        null as zone,
        null as grader,
        w.blank_g as typed,
        'g' as unit
    from as_typed.weighings as w
    union all
    select
        c.run,
        1 as position,
        'hits' as what,
        null as zone,
        null as grader,
        c.hits as typed,
        '' as unit
    from as_typed.counts as c
    union all
    select
        c.run,
        2 as position,
        'tries' as what,
        null as zone,
        null as grader,
        c.tries as typed,
        '' as unit
    from as_typed.counts as c
    union all
    select
        g.run,
        1 as position,
        'zone' as what,
        g.zone,
        g.grader,
        g.grade as typed,
        '' as unit
    from as_typed.gradings as g
    union all
    select
        v.run,
        1 as position,
        'value' as what,
        null as zone,
        null as grader,
        v.value as typed,
        p.unit
    from as_typed."values" as v
    inner join runs as r on v.run = r.run
    inner join protocols as p on r.protocol = p.protocol and r.version = p.version
)

select
    run,
    position,
    what,
    zone,
    grader,
    typed,
    unit
from every_reading
where typed is not null
order by run, position, zone || ', ' || grader
