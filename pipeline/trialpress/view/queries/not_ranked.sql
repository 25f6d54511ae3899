-- model: not_ranked
-- grain: one row a set-up and series without a valid run; key: protocol, version, setup
select
    protocol,
    version,
    setup,
    why
from not_ranked
order by protocol, version, setup
