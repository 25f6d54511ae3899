-- model: maker_overview
-- grain: one row a maker and series; key: maker, protocol, version
select
    maker,
    protocol,
    version,
    setups,
    best_setup,
    best,
    best_place,
    median,
    worst,
    in_top_cut,
    unit,
    decimals
from maker_overview
order by maker, protocol, version desc
