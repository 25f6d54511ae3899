-- model: overall_scopes
-- grain: one row a scope of the overall; key: scope
-- units: interaction_pct in percent
select
    scope,
    floors,
    interaction_pct,
    claims_best,
    why
from overall_scopes
where ranks
order by scope
