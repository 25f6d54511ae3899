-- model: overall_shares
-- grain: one row a series of the overall that ranks; key: protocol, version
-- rule: what decides most comes first
select
    o.protocol,
    o.version,
    o.weight,
    o.share_of_weight,
    o.share_of_variance,
    o.correlation
from overall_shares as o
where o.ranks
order by o.share_of_variance desc nulls last, o.protocol asc, o.version asc
