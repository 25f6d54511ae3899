-- model: readings of every valid weighed run
-- grain: one row a run; key: run
-- units: grams; scale uncertainties relative
-- rule: one balance is known to be one balance only where both are named
select
    w.run,
    r.reading,
    w.before_g,
    w.after_g,
    w.gain_g,
    w.blank_g,
    w.dose_g,
    coalesce(w.dose_by = 'difference', false)::double as dose_is_difference,
    i.resolution as resolution_g,
    i.calibration_u as scale_u,
    d.resolution as dose_resolution_g,
    d.calibration_u as dose_scale_u,
    coalesce(w.instrument = w.dose_instrument, false)::double as same_balance
from weighings as w
inner join runs as r on w.run = r.run
left join instruments as i on w.instrument = i.instrument
left join instruments as d on w.dose_instrument = d.instrument
where r.status = 'valid'
order by w.run
