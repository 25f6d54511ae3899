-- model: movements
-- grain: one row a span, series and set-up that moved or is new;
--        key: since, protocol, version, setup
-- rule: who only stands lower because newcomers stand above it is counted, not told by name, and so
--       is who moved within the places that its runs leave open
select
    m.since,
    s.bench_days,
    m.protocol,
    m.version,
    m.setup,
    m.change,
    m.change = 'down' and m.others_passed = 0 and m.new_runs = 0
    and m.corrected_runs = 0 as is_pushed,
    coalesce(m.place_before between m.place_best and m.place_worst, false) as is_within
from movements as m
inner join movement_spans as s on m.since = s.since
where m.change != 'stayed'
order by s.bench_days asc, m.protocol asc, m.version asc, m.place asc, m.setup asc
