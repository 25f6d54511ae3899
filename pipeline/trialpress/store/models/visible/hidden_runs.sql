-- model: hidden_runs
-- grain: one row a run that may not be seen; key: of_table, run
-- rule: hidden while a set-up or protocol version that one of its rows ever named is
select distinct
    s.of_table,
    split_part(s.row_key, '|', 1) as run
from run_states as s
left join visible_protocols as p
    on s.protocol = p.protocol and s.version::bigint = p.version
where
    p.protocol is null
    or s.setup not in (select v.setup from visible_setups as v)
