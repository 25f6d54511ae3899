-- model: warnings
-- grain: one row a warning, in file order
select
    file,
    "row",
    "column",
    value,
    problem
from findings
where severity = 'warning'
order by file, "row", code, "column"
