-- model: setups
-- grain: one row a set-up; key: setup
select
    setup,
    machine,
    label,
    brushes,
    mode,
    pattern,
    overlap,
    water,
    firmware,
    specimen,
    stock,
    reference,
    publish_on
from setups
order by machine asc, stock desc, label asc, setup asc
