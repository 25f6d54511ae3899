-- model: zones of valid runs that two graders graded
-- grain: one row a run, zone and pair of graders; key: run, zone, grader, other
-- units: grades, 0 clean to 4 heavily soiled
select
    r.protocol,
    r.series_version,
    one.grader,
    other.grader as other,
    one.grade,
    other.grade as other_grade
from gradings as one
inner join gradings as other
    on one.run = other.run and one.zone = other.zone and one.grader < other.grader
inner join runs as r on one.run = r.run
where r.status = 'valid'
order by r.protocol, r.series_version, one.grader, other.grader, one.run, one.zone
