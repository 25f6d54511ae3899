-- model: stated figures beside results
-- grain: one row a machine, stated quantity and current series in percent
-- key: quantity, unit, protocol, version, machine
-- rule: of several figures the one that stands for the machine; machines as in machine_values
select distinct
    c.quantity,
    c.unit as stated_in,
    v.protocol,
    v.version,
    s.title,
    s.better,
    c.machine,
    m.name as machine_name,
    k.name as maker_name,
    c.value as stated,
    v.value as measured,
    a.machines,
    a.rho,
    a.rho_low,
    a.rho_high,
    v.unit,
    v.decimals
from claim_checks as c
inner join machine_values as v on c.machine = v.machine and v.value is not null
inner join series as s on v.protocol = s.protocol and v.version = s.version and s.is_current
inner join machines as m on c.machine = m.machine
inner join makers as k on m.maker = k.maker
inner join claim_associations as a
    on
        c.quantity = a.quantity
        and c.unit = a.unit
        and v.protocol = a.protocol
        and v.version = a.version
where c.is_of_machine and s.unit = '%' and a.rho is not null
order by c.quantity, c.unit, s.title, v.protocol, v.version, c.machine
