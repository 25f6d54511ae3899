"""No row that was said to be kept is lost, whenever the program is killed."""

from __future__ import annotations

import csv
from pathlib import Path

from desk.kills import killed, moments

TYPIST = """
import sys
from pathlib import Path
from trialpress.desk.append import append_rows
file = Path(sys.argv[1])
print("begun")
for i in range(int(sys.argv[2]), 1_000_000):
    append_rows(file, ("run", "note"), [{"run": f"r-{i}", "note": "two\\nlines, " * 50}])
    print(i)
"""


def test_a_typist_who_is_killed_at_any_moment_loses_no_row_that_was_kept(tmp_path: Path) -> None:
    file, first = tmp_path / "values.csv", 0
    for after_s in moments(0.8):
        told = killed(["-c", TYPIST, str(file), str(first)], tmp_path, after_s).split()
        if not file.exists():
            assert told == []
            continue
        with file.open(encoding="utf-8", newline="") as opened:
            runs = [row["run"] for row in csv.DictReader(opened, strict=True)]
        kept = first + len(told)
        assert runs[:kept] == [f"r-{i}" for i in range(kept)]
        assert len(runs) <= kept + 1, "one row may be kept and not yet told"
        first = len(runs)
    assert first > 0
