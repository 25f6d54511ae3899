-- model: prices and results that can be compared
-- grain: one row a set-up and current series, overall with version 0; key: protocol, version, setup
select
    v.protocol,
    v.version,
    s.title,
    coalesce(s.better, 'higher') as better,
    v.setup,
    u.label,
    m.name as machine_name,
    k.name as maker_name,
    v.mean,
    v.low,
    v.high,
    v.price,
    v.currency,
    v.is_price_old,
    v.front,
    v.unit,
    v.decimals
from value_front as v
inner join setups as u on v.setup = u.setup
inner join machines as m on v.machine = m.machine
inner join makers as k on v.maker = k.maker
left join series as s on v.protocol = s.protocol and v.version = s.version
where v.front is not null and coalesce(s.is_current, true)
order by v.protocol, v.version, v.mean, v.setup
