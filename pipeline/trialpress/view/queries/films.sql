-- model: films
-- grain: one row a film, newest first; key: film
-- rule: those without a date come last
select
    film,
    title,
    address,
    published_on
from films
order by published_on desc nulls last, film asc
