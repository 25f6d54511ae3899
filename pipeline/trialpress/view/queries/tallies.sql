-- model: tallies
-- grain: one row a set-up and series that is still run; key: protocol, setup
-- rule: a series is still run where its newest version has not ended and its floor is not lifted;
--       runs counts valid runs, planned those not yet made
with open_series as (
    select
        s.protocol,
        s.version,
        s.title,
        s.reading,
        s.floor,
        s.unit,
        s.min_runs,
        s.matters,
        p.dose_g,
        p.dose_tolerance_g,
        p.zones,
        p.kinds
    from series as s
    inner join protocols as p
        on s.protocol = p.protocol and s.version = p.version
    left join floors as f
        on s.floor = f.floor
    cross join build as b
    where
        s.is_current
        and s.version = s.series_version
        and (p.to_date is null or p.to_date >= b.as_of)
        and (f.lifted_on is null or f.lifted_on >= b.as_of)
)

select
    o.protocol,
    o.version,
    o.title,
    o.reading,
    o.floor,
    o.unit,
    o.min_runs,
    o.matters,
    o.dose_g,
    o.dose_tolerance_g,
    o.zones,
    u.setup,
    u.machine,
    m.name || ' (' || u.label || ')' as name,
    u.reference as is_reference,
    count(r.run) filter (where r.status = 'valid') as runs,
    count(r.run) filter (where r.status = 'planned') as planned,
    max(r.day_date) filter (where r.status = 'valid') as last_day,
    m.kind,
    o.kinds
from open_series as o
cross join setups as u
inner join machines as m
    on u.machine = m.machine
left join runs as r
    on o.protocol = r.protocol and o.version = r.series_version and u.setup = r.setup
group by all
order by o.floor, o.protocol, u.setup
