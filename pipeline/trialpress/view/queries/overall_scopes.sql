-- model: overall_scopes
-- grain: one row a scope of the overall; key: scope
-- units: interaction_pct in percent
select
    scope,
    interaction_pct,
    claims_best,
    why
from overall_scopes
order by scope
