-- model: visible_films
-- grain: one row a film that may be seen; key: film
-- rule: a film is not there before it is published
select
    f.film,
    f.row_key,
    f.source_file,
    f.source_row
from loaded.films as f
cross join loaded.build as b
where f.published_on is null or f.published_on <= b.as_of
