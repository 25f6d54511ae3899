-- model: drift_charts
-- grain: one row a control chart; key: protocol, version, setup, floor
-- rule: step_on is the date of its day; decimals are those of the chart's runs
with days as (
    select distinct
        r.day,
        r.day_date
    from runs as r
)

select
    d.protocol,
    d.version,
    d.setup,
    d.floor,
    d.days,
    d.baseline,
    d.matters,
    d.days_ahead,
    d.chance_of_false_alarm,
    d.chance_to_see,
    s.day_date as step_on,
    d.step_size,
    d.step_p,
    c.decimals + 1 as decimals
from drift_charts as d
inner join cells as c
    on d.protocol = c.protocol and d.version = c.version and d.setup = c.setup
left join days as s on d.step_on = s.day
order by d.protocol, d.version, d.setup, d.floor
