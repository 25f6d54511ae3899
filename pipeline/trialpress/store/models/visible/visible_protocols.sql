-- model: visible_protocols
-- grain: one row a protocol version that may be seen; key: protocol, version
-- rule: a version is there from its from_date, on a floor that is there, or on none
select
    p.protocol,
    p.version,
    p.row_key,
    p.source_file,
    p.source_row
from loaded.protocols as p
cross join loaded.build as b
where
    p.from_date <= b.as_of
    and (p.floor is null or p.floor in (select v.floor from visible_floors as v))
