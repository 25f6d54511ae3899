-- model: protocols
-- grain: one row a protocol version, newest first; key: protocol, version
select
    p.protocol,
    p.version,
    s.series_version,
    s.is_current,
    p.title,
    p.reading,
    p.kinds,
    p.floor,
    o.name as soil,
    o.grade as soil_grade,
    o.standard as soil_standard,
    o.hazard as soil_hazard,
    p.dose_g,
    p.dose_tolerance_g,
    p.passes,
    p.minutes,
    p.clean_limit,
    p.zones,
    p.unit,
    p.better,
    p.min_runs,
    p.matters,
    p.from_date,
    p.to_date,
    p.continues,
    p.in_overall
from protocols as p
inner join series as s on p.protocol = s.protocol and p.version = s.version
left join soils as o on p.soil = o.soil
order by p.title asc, p.protocol asc, p.version desc
