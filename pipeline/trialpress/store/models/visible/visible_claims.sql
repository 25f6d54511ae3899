-- model: visible_claims
-- grain: one row a claim that may be seen; key: claim
-- rule: stated by the date of the build, on a visible machine
select
    c.claim,
    c.source_file,
    c.source_row
from loaded.claims as c
cross join loaded.build as b
where
    c.stated_on <= b.as_of
    and c.machine in (select v.machine from visible_machines as v)
