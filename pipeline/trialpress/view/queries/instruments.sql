-- model: instruments
-- grain: one row an instrument; key: instrument
select
    instrument,
    quantity,
    unit,
    calibrated_on
from instruments
order by instrument
