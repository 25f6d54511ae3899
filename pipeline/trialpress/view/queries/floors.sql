-- model: floors
-- grain: one row a floor; key: floor
select
    floor,
    name,
    covering,
    pile_mm,
    called,
    laid_on,
    lifted_on,
    note
from floors
order by name, floor
