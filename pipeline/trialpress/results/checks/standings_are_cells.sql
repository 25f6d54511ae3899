-- every cell has one standing with its mean, and every standing one cell.
select
    coalesce(c.setup, s.setup) as setup,
    coalesce(c.protocol, s.protocol) as protocol
from cells as c
full join standings as s
    on c.setup = s.setup and c.protocol = s.protocol and c.version = s.version
where c.setup is null or s.setup is null or c.mean <> s.mean
