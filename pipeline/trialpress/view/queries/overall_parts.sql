-- model: overall_parts
-- grain: one row a set-up and series that an overall can take in; key: setup, protocol
-- units: mean and standard_error in percent
-- rule: only what a geometric mean can take in
-- rule: the series in the order of their titles, the set-ups by their slug
select
    p.setup,
    p.protocol,
    p.version,
    p.weight,
    p.mean,
    p.standard_error,
    p.df
from overall_parts as p
inner join series as s on p.protocol = s.protocol and p.version = s.version
where p.in_ratio
order by s.title, p.protocol, p.setup
