-- model: visible_film_marks
-- grain: one row a mark in a film that may be seen; key: source_file, source_row
-- rule: a mark is seen with its film, and with the run, set-up or protocol that it shows
select
    m.row_key,
    m.source_file,
    m.source_row
from loaded.film_marks as m
where
    m.film in (select v.film from visible_films as v)
    and (m.run is null or m.run in (select v.run from visible_readings as v))
    and (m.setup is null or m.setup in (select v.setup from visible_setups as v))
    and (m.protocol is null or m.protocol in (select v.protocol from visible_protocols as v))
