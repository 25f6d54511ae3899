-- model: visible_instruments
-- grain: one row of instruments; key: instrument
-- rule: instruments are never under embargo
select
    t.instrument,
    t.source_file,
    t.source_row
from loaded.instruments as t
