-- model: visible_photos
-- grain: one row a photo that may be seen; key: photo
-- rule: a photo is seen with its run, and with every run it was said to show before
select
    p.photo,
    p.row_key,
    p.source_file,
    p.source_row
from loaded.photos as p
cross join loaded.build as b
where
    p.day_date <= b.as_of
    and p.run in (select v.run from visible_readings as v)
    and p.row_key not in (
        select f.row_key
        from corrections_in_force as f
        where
            f.of_table = 'photos'
            and f.of_column = 'run'
            and (
                f.was not in (select v.run from visible_readings as v)
                or f.now not in (select v.run from visible_readings as v)
            )
    )
