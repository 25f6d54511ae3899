-- model: what each valid run gave, unrounded
-- grain: one row a run and what it counts in: its series, and the overall with version 0
with w as (
    select distinct
        p.protocol,
        p.version
    from overall_parts as p
    where p.weight > 0
)

select
    r.protocol,
    r.series_version as version,
    r.setup,
    r.run,
    v.value
from run_values as v
inner join runs as r on v.run = r.run
where r.status = 'valid'
union all
select
    'overall' as protocol,
    0 as version,
    r.setup,
    r.run,
    v.value
from run_values as v
inner join runs as r on v.run = r.run
inner join w on r.protocol = w.protocol and r.series_version = w.version
where r.status = 'valid'
order by protocol, version, setup, run
