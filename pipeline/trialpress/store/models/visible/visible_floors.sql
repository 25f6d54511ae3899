-- model: visible_floors
-- grain: one row a floor that may be seen; key: floor
-- rule: a floor laid after the date of the build is not there yet
select
    f.floor,
    f.row_key,
    f.source_file,
    f.source_row
from loaded.floors as f
cross join loaded.build as b
where f.laid_on is null or f.laid_on <= b.as_of
