-- every valid run is in exactly one cell.
with counted as (
    select
        r.setup,
        r.protocol,
        r.series_version,
        count(*) as runs
    from runs as r
    where r.status = 'valid'
    group by r.setup, r.protocol, r.series_version
)

select
    k.setup,
    k.protocol,
    k.runs,
    c.n
from counted as k
full join cells as c
    on k.setup = c.setup and k.protocol = c.protocol and k.series_version = c.version
where k.runs is distinct from c.n
