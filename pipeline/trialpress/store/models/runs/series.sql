-- model: series
-- grain: one row a protocol version; key: protocol, version
-- rule: a version continues the series of the one before it where `continues` says so; the series
--       is named after its newest version (design, section 2)
with starts as (
    select
        p.protocol,
        p.version,
        sum(case when p.continues then 0 else 1 end)
            over (partition by p.protocol order by p.version) as series_number
    from protocols as p
)

select
    p.protocol,
    p.version,
    max(p.version) over (partition by p.protocol, s.series_number) as series_version,
    p.title,
    p.reading,
    p.floor,
    p.soil,
    p.unit,
    p.better,
    p.min_runs,
    p.matters,
    p.in_overall,
    s.series_number = max(s.series_number) over (partition by p.protocol) as is_current
from protocols as p
inner join starts as s
    on p.protocol = s.protocol and p.version = s.version
order by p.protocol, p.version
