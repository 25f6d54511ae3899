-- model: overall_parts
-- grain: one row a set-up and series that an overall can take in; key: setup, protocol
-- units: mean, standard_error, median and step in the unit of the series
-- rule: the series in the order of their titles, the set-ups by their slug
select
    p.setup,
    p.protocol,
    p.version,
    p.weight,
    p.mean,
    p.standard_error,
    p.df,
    p.in_ratio,
    p.median,
    p.step
from overall_parts as p
inner join series as s on p.protocol = s.protocol and p.version = s.version
order by s.title, p.protocol, p.setup
