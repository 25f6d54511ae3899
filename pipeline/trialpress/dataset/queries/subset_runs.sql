-- query: every valid run with the names around it, for files a protocol, machine and maker
-- grain: one row a run; key: run
-- rule: names and places as corrected; figures as published
select
    r.run,
    r.day,
    r.at,
    m.maker,
    k.name as maker_name,
    s.machine,
    m.name as machine_name,
    r.setup,
    s.label,
    r.protocol,
    r.version,
    r.series_version,
    r.value,
    r.u_value,
    r.unit,
    r.flags
from run_results as r
inner join setups as s on r.setup = s.setup
inner join machines as m on s.machine = m.machine
inner join makers as k on m.maker = k.maker
order by r.run
