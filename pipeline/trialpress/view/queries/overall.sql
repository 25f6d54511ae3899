-- model: overall
-- grain: one row a set-up with an overall place, in the order results decided; key: setup
-- rule: on this bench's own floors, and beside it (like_*) what holds on floors like these, which
--       is blank where the bench has too few floors to tell; the way to form it is the
--       one that the bench ranks by
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
    o.on_one_run,
    o.one_sitting,
    o.provisional,
    o.decimals,
    o.why,
    e.place as like_place,
    e.place_best as like_best,
    e.place_worst as like_worst
from overall as o
left join overall as e
    on o.setup = e.setup and e.ranks and e.scope = 'floors like these' and e.complete
where o.ranks and o.scope = 'bench' and o.complete
order by o.position
