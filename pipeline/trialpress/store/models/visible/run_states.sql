-- model: run_states
-- grain: one row a set-up and protocol version that a row of readings ever named by the date of
--        the build; key: of_table, row_key, step
-- rule: as typed (step 0), then after each correction; lines of one correction apply together
with steps as (
    select
        t.of_table,
        t.row_key,
        null as correction,
        0 as step,
        t.setup,
        t.protocol,
        t.version
    from loaded.readings_as_typed as t
    union all
    select
        f.of_table,
        f.row_key,
        f.correction,
        f.step,
        case when f.of_column = 'setup' then f.now end as setup,
        case when f.of_column = 'protocol' then f.now end as protocol,
        case when f.of_column = 'version' then f.now end as version
    from corrections_in_force as f
    where f.of_table in (select r.of_table from loaded.readings_as_typed as r)
)

select
    s.of_table,
    s.row_key,
    s.step,
    last_value(s.setup ignore nulls) over so_far as setup,
    last_value(s.protocol ignore nulls) over so_far as protocol,
    last_value(s.version ignore nulls) over so_far as version
from steps as s
window so_far as (partition by s.of_table, s.row_key order by s.step)
qualify s.step = 0 or s.correction is distinct from lead(s.correction) over so_far
