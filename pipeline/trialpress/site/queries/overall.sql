-- model: overall
-- grain: one row a set-up with an overall place, in the order results decided; key: setup
-- rule: the scope is this bench's own floors
select
    position,
    setup,
    place,
    value,
    low,
    high,
    place_best,
    place_worst,
    top,
    decimals,
    why
from overall
where scope = 'bench' and complete
order by position
