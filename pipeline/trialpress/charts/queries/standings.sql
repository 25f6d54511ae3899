-- model: standings
-- grain: one row a set-up and series; key: protocol, version, setup
-- rule: in the order results decided
select
    t.protocol,
    t.version,
    t.position,
    t.setup,
    u.label,
    u.stock,
    t.machine,
    m.name as machine_name,
    t.maker,
    k.name as maker_name,
    t.mean,
    t.low,
    t.high,
    t.place_best,
    t.place_worst,
    t.top,
    t.on_one_run,
    t.provisional,
    t.decimals
from standings as t
inner join setups as u on t.setup = u.setup
inner join machines as m on t.machine = m.machine
inner join makers as k on t.maker = k.maker
order by t.protocol, t.version, t.position
