-- model: visible_setups
-- grain: one row a set-up that may be seen; key: setup
-- rule: a set-up is hidden until its publish_on
select
    s.setup,
    s.machine,
    s.row_key,
    s.source_file,
    s.source_row
from loaded.setups as s
cross join loaded.build as b
where s.publish_on is null or s.publish_on <= b.as_of
