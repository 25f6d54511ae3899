-- model: visible_soils
-- grain: one row a soil that may be seen; key: soil
-- rule: hidden where every protocol version that names it, as typed or corrected, is; one that is
--       in no protocol yet may be seen
with uses as (
    select
        p.soil,
        p.source_file,
        p.source_row
    from loaded.protocols as p
    union all
    select
        t.soil,
        t.source_file,
        t.source_row
    from loaded.protocols_as_typed as t
)

select
    s.soil,
    s.row_key,
    s.source_file,
    s.source_row
from loaded.soils as s
left join uses as u on s.soil = u.soil
left join visible_protocols as v
    on u.source_file = v.source_file and u.source_row = v.source_row
group by s.soil, s.row_key, s.source_file, s.source_row
having count(u.soil) = 0 or count(v.source_row) > 0
