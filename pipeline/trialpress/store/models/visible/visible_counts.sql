-- model: visible_counts
-- grain: one row of counts that may be seen; key: run
-- rule: of a day by the date of the build, with a set-up and protocol version that are visible,
--       as typed, as corrected and in between
select
    r.run,
    r.source_file,
    r.source_row
from loaded."counts" as r
cross join loaded.build as b
inner join visible_protocols as p
    on r.protocol = p.protocol and r.version = p.version
inner join loaded.counts_as_typed as typed
    on r.source_file = typed.source_file and r.source_row = typed.source_row
inner join visible_protocols as typed_p
    on typed.protocol = typed_p.protocol and typed.version::bigint = typed_p.version
where
    r.day_date <= b.as_of
    and r.setup in (select v.setup from visible_setups as v)
    and typed.setup in (select v.setup from visible_setups as v)
    and r.row_key not in (
        select c.row_key
        from corrections_in_force as c
        where
            c.of_table = 'counts'
            and c.of_column = 'setup'
            and c.now not in (select v.setup from visible_setups as v)
    )
