-- model: maker overviews with the size of the top cut
-- grain: one row a maker and series; key: maker, protocol, version
select
    o.maker,
    o.protocol,
    o.version,
    o.setups,
    o.best,
    o.median,
    o.worst,
    o.in_top_cut,
    b.top_n,
    o.unit,
    o.decimals
from maker_overview as o
cross join build as b
order by o.maker, o.protocol, o.version
