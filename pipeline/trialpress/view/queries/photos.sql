-- model: photos
-- grain: one row a photo; key: photo
select
    photo,
    run,
    day,
    file,
    caption,
    alt
from photos
order by day, run, photo
