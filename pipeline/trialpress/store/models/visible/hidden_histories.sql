-- model: hidden_histories
-- grain: one row a cell of a visible catalogue row that once named something hidden; key: of_table,
--        row_key, of_column
-- rule: its corrections up to_step are not told, and it reads as if `shown` had been typed; a cell
--       that still names something hidden belongs to a hidden row
select
    f.of_table,
    f.row_key,
    f.of_column,
    max(f.step) as to_step,
    arg_max(f.now, f.step) as shown
from corrections_in_force as f
where
    (
        f.of_table = 'setups'
        and f.of_column = 'machine'
        and f.was not in (select v.machine from visible_machines as v)
    )
    or (
        f.of_table = 'machines'
        and f.of_column = 'maker'
        and f.was not in (select v.maker from visible_makers as v)
    )
    or (
        f.of_table = 'protocols'
        and f.of_column = 'floor'
        and f.was <> ''
        and f.was not in (select v.floor from visible_floors as v)
    )
group by f.of_table, f.row_key, f.of_column
