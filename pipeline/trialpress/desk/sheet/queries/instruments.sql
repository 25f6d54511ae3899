-- model: the instruments of the catalogue
-- grain: one row an instrument; key: instrument
select
    i.instrument,
    i.unit
from instruments as i
order by i.instrument
