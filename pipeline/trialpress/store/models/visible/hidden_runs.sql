-- model: hidden_runs
-- grain: one row a row of readings that may not be seen; key: of_table, row_key
-- rule: hidden while a set-up or protocol version that it ever named is
select distinct
    s.of_table,
    s.row_key
from run_states as s
left join visible_protocols as p
    on s.protocol = p.protocol and s.version::bigint = p.version
where
    p.protocol is null
    or s.setup not in (select v.setup from visible_setups as v)
