-- model: maker_overview
-- grain: one row a maker and series; key: maker, protocol, version
select
    maker,
    protocol,
    version,
    setups,
    best_setup,
    best,
    median,
    worst,
    in_top_cut,
    unit,
    decimals
from maker_overview
order by maker asc, protocol asc, version desc
