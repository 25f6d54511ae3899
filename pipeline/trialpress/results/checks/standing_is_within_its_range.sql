-- a place lies within the range of places that cannot be ruled out, ties counted as one place.
with shared as (
    select
        s.protocol,
        s.version,
        s.setup,
        s.place,
        s.place_best,
        s.place_worst,
        count(*) over (partition by s.protocol, s.version, s.place) as sharing
    from standings as s
)

select
    s.protocol,
    s.version,
    s.setup,
    s.place,
    s.place_best,
    s.place_worst
from shared as s
where s.place > s.place_worst or s.place_best > s.place + s.sharing - 1
