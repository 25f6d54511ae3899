-- model: paces
-- grain: one row a protocol whose runs were timed; key: protocol
-- units: minutes from one run of a day to the next under the same protocol; the median, as breaks
--        are made
with timed as (
    select
        r.protocol,
        r.day,
        r.at::timestamp as started
    from runs as r
    where r.status <> 'planned' and r.at like '%T%'
),

gaps as (
    select
        t.protocol,
        date_diff(
            'second',
            lag(t.started) over (partition by t.protocol, t.day order by t.started),
            t.started
        ) / 60 as minutes
    from timed as t
)

select
    g.protocol,
    median(g.minutes)::double as minutes,
    count(*) as gaps
from gaps as g
where g.minutes > 0
group by g.protocol
order by g.protocol
