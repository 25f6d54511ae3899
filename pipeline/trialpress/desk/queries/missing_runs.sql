-- model: runs that are missing of the current protocols
-- grain: one row a set-up and protocol that lacks runs; key: protocol, setup
-- rule: a set-up lacks what it is short of min_runs; never run at all it is listed where another
--       set-up of the same kind of machine was run
with current_series as (
    select
        s.protocol,
        s.version,
        s.min_runs
    from series as s
    where s.version = s.series_version and s.is_current
),

kinds_run as (
    select distinct
        c.protocol,
        c.version,
        m.kind
    from cells as c
    inner join setups as s on c.setup = s.setup
    inner join machines as m on s.machine = m.machine
)

select
    p.protocol,
    p.version,
    s.setup,
    coalesce(c.n, 0) as made,
    p.min_runs - coalesce(c.n, 0) as missing
from current_series as p
inner join kinds_run as k on p.protocol = k.protocol and p.version = k.version
inner join machines as m on k.kind = m.kind
inner join setups as s on m.machine = s.machine
left join cells as c
    on s.setup = c.setup and p.protocol = c.protocol and p.version = c.version
where coalesce(c.n, 0) < p.min_runs
order by p.protocol asc, made desc, s.setup asc
