-- a run belongs to one reading table, one set-up and one protocol version.
select
    r.run,
    count(*) as times
from runs as r
group by r.run
having count(*) > 1
