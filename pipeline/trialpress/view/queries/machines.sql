-- model: machines
-- grain: one row a machine; key: machine
-- rule: first_day is the day of the first run of any of its set-ups, valid or void
with first_days as (
    select
        s.machine,
        min(r.day_date) as first_day
    from runs as r
    inner join setups as s on r.setup = s.setup
    where r.status <> 'planned'
    group by s.machine
)

select
    m.machine,
    m.maker,
    m.name,
    m.kind,
    m.released,
    m.price,
    m.currency,
    m.priced_on,
    m.acquired,
    m.head,
    m.mop,
    m.note,
    f.first_day
from machines as m
left join first_days as f on m.machine = f.machine
inner join makers as k on m.maker = k.maker
order by k.name, m.name, m.machine
