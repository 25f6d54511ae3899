-- model: claims with their machine's maker, the newest figure of each quantity marked
-- grain: one row a claim; key: claim
-- rule: the newest figure of a machine and quantity, whatever set-up it is about, is the one stated
--       last, among equals the last in the catalogue; a blank tolerance is 0
select
    c.claim,
    c.machine,
    c.setup,
    m.maker,
    c.quantity,
    c.value,
    c.unit,
    coalesce(c.tolerance_pct, 0) as tolerance_pct,
    c.source,
    c.stated_on,
    row_number() over (
        partition by c.machine, c.quantity order by c.stated_on desc, c.source_row desc
    ) = 1 as is_newest
from claims as c
inner join machines as m on c.machine = m.machine
order by c.machine, c.quantity, c.stated_on, c.source_row
