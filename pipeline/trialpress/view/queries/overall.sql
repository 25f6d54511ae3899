-- model: overall
-- grain: one row a set-up with an overall place, in the order results decided; key: setup
-- rule: on this bench's own floors, and beside it (like_*) what holds on floors like these, which
--       is blank where the bench has too few floors to tell; provisional, or on one run, where one
--       of the standings it rests on is
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
    o.place,
    o.value as mean,
    o.low,
    o.high,
    o.place_best,
    o.place_worst,
    o.top,
    r.on_one_run,
    r.provisional,
    o.decimals,
    o.why,
    e.place as like_place,
    e.place_best as like_best,
    e.place_worst as like_worst
from overall as o
inner join rests_on as r on o.setup = r.setup
left join overall as e
    on o.setup = e.setup and e.scope = 'floors like these' and e.complete
where o.scope = 'bench' and o.complete
order by o.position
