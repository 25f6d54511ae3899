-- every visible run has a visible set-up, machine and maker.
select
    r.run,
    r.setup
from runs as r
left join setups as s on r.setup = s.setup
left join machines as m on s.machine = m.machine
left join makers as k on m.maker = k.maker
where k.maker is null
