-- model: not_ranked
-- grain: one row a set-up and series without a standing; key: setup, protocol, version
-- rule: named wherever there are runs, none of them valid
select
    r.setup,
    r.protocol,
    r.series_version as version,
    case
        when bool_and(r.status = 'planned') then 'all-planned'
        when bool_and(r.status = 'void') then 'all-void'
        else 'none-valid'
    end as why
from runs as r
group by r.setup, r.protocol, r.series_version
having not bool_or(r.status = 'valid')
order by r.protocol, r.series_version, r.setup
