-- model: control charts with the step that fits their baseline best
-- grain: one row a chart; key: protocol, version, setup, floor
select
    d.protocol,
    d.version,
    d.setup,
    d.floor,
    d.step_on,
    d.step_size,
    d.step_p
from drift_charts as d
where d.step_p is not null
order by d.protocol, d.version, d.setup, d.floor
