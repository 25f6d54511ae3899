-- model: not_ranked
-- grain: one row a set-up and series without a standing; key: setup, protocol, version
-- rule: named wherever there are runs, none of them valid; why is a code until words are put in its
--       place
select
    r.setup,
    r.protocol,
    r.series_version as version,
    case
        when bool_and(r.status = 'planned') then 'planned'
        when bool_and(r.status = 'void') then 'void'
        else 'void-or-planned'
    end as why
from runs as r
group by r.setup, r.protocol, r.series_version
having not bool_or(r.status = 'valid')
order by r.protocol, r.series_version, r.setup
