-- model: overall
-- grain: one row a set-up with an overall place; key: setup
-- rule: provisional, or on one run, where one of the standings it rests on is
with rests_on as (
    select
        t.setup,
        bool_or(t.provisional) as provisional,
        bool_or(t.on_one_run) as on_one_run
    from standings as t
    inner join series as s
        on t.protocol = s.protocol and t.version = s.version
    where s.is_current and s.in_overall > 0
    group by t.setup
)

select
    o.position,
    o.setup,
    u.label,
    m.name as machine_name,
    k.name as maker_name,
    o.value as mean,
    o.low,
    o.high,
    o.place_best,
    o.place_worst,
    o.top,
    r.on_one_run,
    r.provisional,
    o.decimals
from overall as o
inner join rests_on as r on o.setup = r.setup
inner join setups as u on o.setup = u.setup
inner join machines as m on o.machine = m.machine
inner join makers as k on o.maker = k.maker
where o.scope = 'bench' and o.place is not null
order by o.position
