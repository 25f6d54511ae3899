-- model: one run, whatever its status
-- grain: one row; key: run
select
    r.run,
    r.setup,
    r.protocol,
    r.version,
    r.reading,
    r.reading_table,
    r.status,
    r.reason,
    s.unit
from runs as r
inner join series as s
    on r.protocol = s.protocol and r.version = s.version
where r.run = $1
