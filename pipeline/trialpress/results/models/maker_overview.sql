-- model: maker_overview
-- grain: one row a maker and series; key: maker, protocol, version
-- units: the protocol's unit; share_in_top_cut in percent of the maker's set-ups
-- rule: best is told with the number tried; the best of many is no measure of a maker;
--       medians are rounded half to even, as results.rounding does
select
    s.maker,
    s.protocol,
    s.version,
    count(*) as setups,
    arg_min(s.setup, s.position) as best_setup,
    arg_min(s.mean, s.position) as best,
    min(s.place) as best_place,
    round_even(round(median(s.mean) * pow(10, any_value(s.decimals)), 6), 0)
    / pow(10, any_value(s.decimals)) as median,
    arg_max(s.mean, s.position) as worst,
    count(*) filter (where s.place <= b.top_n) as in_top_cut,
    round(100.0 * count(*) filter (where s.place <= b.top_n) / count(*)) as share_in_top_cut,
    s.unit,
    any_value(s.decimals) as decimals
from standings as s
cross join build as b
group by s.maker, s.protocol, s.version, s.unit
order by s.maker, s.protocol, s.version
