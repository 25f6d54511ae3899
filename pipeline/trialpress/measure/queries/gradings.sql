-- model: clean zones of every valid graded run
-- grain: one row a run; key: run
-- rule: a zone is clean where its grade is at or below the protocol's clean_limit
select
    g.run,
    sum((g.grade <= p.clean_limit)::bigint)::double as clean,
    count(*)::double as gradings,
    count(distinct g.zone)::double as zones
from gradings as g
inner join runs as r on g.run = r.run
inner join protocols as p on g.protocol = p.protocol and g.version = p.version
where r.status = 'valid'
group by g.run
order by g.run
