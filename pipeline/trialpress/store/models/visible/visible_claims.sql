-- model: visible_claims
-- grain: one row a claim that may be seen; key: claim
-- rule: stated by the date of the build, on a visible machine and, where it is about one, a visible
--       set-up, whatever corrections made of it
with names as (
    select
        'machine' as of_column,
        v.machine as name
    from visible_machines as v
    union all
    select
        'setup' as of_column,
        v.setup as name
    from visible_setups as v
)

select
    c.claim,
    c.row_key,
    c.source_file,
    c.source_row
from loaded.claims as c
cross join loaded.build as b
where
    c.stated_on <= b.as_of
    and c.machine in (select v.machine from visible_machines as v)
    and (c.setup is null or c.setup in (select v.setup from visible_setups as v))
    and c.row_key not in (
        select f.row_key
        from corrections_in_force as f
        where
            f.of_table = 'claims'
            and f.of_column in ('machine', 'setup')
            and exists (
                select 1
                from (values (f.was), (f.now)) as t (name)
                where
                    t.name <> ''
                    and (f.of_column, t.name) not in (select (n.of_column, n.name) from names as n)
            )
    )
