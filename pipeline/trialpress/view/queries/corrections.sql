-- model: corrections
-- grain: one row a corrected value, newest first; key: correction, table, row, column
select
    correction,
    "table",
    "row",
    "column",
    corrected_on,
    was,
    now,
    why
from corrections
order by corrected_on desc, correction asc, "table" asc, "row" asc, "column" asc
