-- model: instruments
-- grain: one row an instrument; key: instrument
select
    instrument,
    quantity,
    unit
from instruments
order by instrument
