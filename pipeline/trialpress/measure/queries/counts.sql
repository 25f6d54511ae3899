-- model: hits and tries of every valid counted run
-- grain: one row a run; key: run
select
    c.run,
    c.hits::double as hits,
    c.tries::double as tries
from counts as c
inner join runs as r on c.run = r.run
where r.status = 'valid'
order by c.run
