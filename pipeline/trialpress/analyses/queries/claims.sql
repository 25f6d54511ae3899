-- model: claims with their machine's maker, and which of several figures count
-- grain: one row a claim; key: claim
-- rule: the newest figure of a quantity is the one stated last of the same set-up, or of the
--       machine as unboxed, among equals the last in the catalogue; what stands for the machine is
--       its newest figure about no set-up or one as unboxed; a blank tolerance is 0
with about as (
    select
        c.claim,
        coalesce(s.stock, true) as is_as_unboxed
    from claims as c
    left join setups as s on c.setup = s.setup
)

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
        partition by c.machine, c.quantity, c.setup order by c.stated_on desc, c.source_row desc
    ) = 1 as is_newest,
    a.is_as_unboxed and row_number() over (
        partition by c.machine, c.quantity
        order by a.is_as_unboxed desc, c.stated_on desc, c.source_row desc
    ) = 1 as is_of_machine
from claims as c
inner join machines as m on c.machine = m.machine
inner join about as a on c.claim = a.claim
order by c.machine, c.quantity, c.stated_on, c.source_row
