-- model: run_results before rounding
-- grain: one row a valid run; key: run
-- rule: a run carries the codes of all warnings on its rows, `corrected` where a correction in
--       force touched it, `uncertainty-unknown` where a component is missing, and `bench-drift`
--       where a reference set-up was out of line in this series on this day
with flags as (
    select
        r.run,
        f.code as flag
    from readings as r
    inner join findings as f on r.source_file = f.file and r.source_row = f."row"
    union
    select
        r.run,
        'corrected' as flag
    from readings as r
    inner join corrections as c on r.of_table = c."table" and r.row_key = c."row"
    union
    select
        v.run,
        'uncertainty-unknown' as flag
    from run_values as v
    where v.u_value is null
    union
    select
        r.run,
        'bench-drift' as flag
    from runs as r
    inner join drift as d
        on r.protocol = d.protocol and r.series_version = d.version and r.day = d.day
    where d.flags <> '' and r.status = 'valid'
),

flagged as (
    select
        f.run,
        string_agg(f.flag, '|' order by f.flag) as flags
    from flags as f
    group by f.run
)

select
    r.run,
    r.day,
    r.at,
    r.setup,
    r.protocol,
    r.version,
    r.series_version,
    v.value,
    v.u_value,
    s.unit,
    coalesce(f.flags, '') as flags,
    r.file,
    r."row"
from run_values as v
inner join runs as r on v.run = r.run
inner join series as s on r.protocol = s.protocol and r.version = s.version
left join flagged as f on v.run = f.run
order by r.run
