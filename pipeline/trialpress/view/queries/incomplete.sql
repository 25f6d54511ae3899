-- model: incomplete
-- grain: one row a set-up without an overall place, in the order results decided; key: setup
select
    setup,
    missing
from overall
where ranks and scope = 'bench' and not complete
order by position
