-- model: valid runs of reference set-ups, in the order they were made
-- grain: one row a run; key: run
-- rule: another set-up or another floor restarts the baseline; new brushes are another set-up
select
    r.protocol,
    r.series_version,
    r.setup,
    p.floor,
    r.run,
    r.day,
    r.at,
    v.value,
    c.matters
from run_values as v
inner join runs as r on v.run = r.run
inner join setups as s on r.setup = s.setup
inner join protocols as p on r.protocol = p.protocol and r.version = p.version
inner join series as c
    on r.protocol = c.protocol and r.series_version = c.version
where s.reference
order by r.protocol, r.series_version, r.setup, p.floor, r.at, r.run
