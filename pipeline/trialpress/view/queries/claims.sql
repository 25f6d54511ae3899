-- model: claims
-- grain: one row a claim; key: claim
-- rule: the value keeps the digits it was typed with, unless a correction changed it
select
    c.claim,
    c.machine,
    c.quantity,
    coalesce(case when t.value::double = c.value then t.value end, c.value::varchar) as value,
    c.unit,
    c.source,
    c.stated_on
from claims as c
inner join as_typed.claims as t on c.claim = t.claim
order by c.quantity, c.stated_on, c.claim
