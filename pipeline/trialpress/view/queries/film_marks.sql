-- model: film_marks
-- grain: one row a mark in a film, in the order of the film; key: film, at
-- rule: marks are typed in their order
select
    m.film,
    m.at,
    m.label,
    m.run,
    m.setup,
    m.protocol
from film_marks as m
order by m.film, m.source_row
