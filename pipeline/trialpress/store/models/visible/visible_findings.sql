-- model: visible_findings
-- grain: one row a warning about a row that may be seen
-- rule: a warning is seen with the row it speaks of
select
    f.code,
    f.severity,
    f.file,
    r.published_row as "row",
    f."column",
    f.value,
    f.problem,
    f.remedy
from loaded.findings as f
inner join visible_rows as r
    on f.file = r.source_file and f."row" = r.source_row
