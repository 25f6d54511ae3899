-- model: readings of every valid run that is a value
-- grain: one row a run; key: run
-- units: the protocol's unit; scale uncertainties relative
select
    v.run,
    v.value,
    i.resolution,
    i.calibration_u as scale_u
from "values" as v
inner join runs as r on v.run = r.run
left join instruments as i on v.instrument = i.instrument
where r.status = 'valid'
order by v.run
