-- model: visible_claims
-- grain: one row a claim that may be seen; key: claim
-- rule: stated by the date of the build, on a visible machine, whatever corrections made of it
select
    c.claim,
    c.source_file,
    c.source_row
from loaded.claims as c
cross join loaded.build as b
where
    c.stated_on <= b.as_of
    and c.machine in (select v.machine from visible_machines as v)
    and c.row_key not in (
        select f.row_key
        from corrections_in_force as f
        where
            f.of_table = 'claims'
            and f.of_column = 'machine'
            and (
                f.was not in (select v.machine from visible_machines as v)
                or f.now not in (select v.machine from visible_machines as v)
            )
    )
