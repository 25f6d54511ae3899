-- query: every line of every standing of an edition, asked of its SQLite file
-- grain: one row a set-up and series; key: protocol, version, setup
-- rule: names are those that stood when the edition was made, corrections included; only columns
--       that editions have had from the first are read
select
    s.protocol,
    s.version,
    p.title,
    p.unit,
    v.is_current,
    s.place,
    s.setup,
    s.machine,
    k.name as maker_name,
    m.name as machine_name,
    u.label,
    s.mean,
    s.low,
    s.high,
    s.n,
    s.place_best,
    s.place_worst,
    s."top",
    s.decimals
from standings as s
inner join protocols as p on s.protocol = p.protocol and s.version = p.version
inner join series as v on s.protocol = v.protocol and s.version = v.version
inner join setups as u on s.setup = u.setup
inner join machines as m on s.machine = m.machine
inner join makers as k on s.maker = k.maker
order by s.protocol, s.version, s.position
