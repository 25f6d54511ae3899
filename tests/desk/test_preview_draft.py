"""What the bench sheet sends, put into the file of its day."""

from __future__ import annotations

from pathlib import Path

import pytest

from trialpress.desk.replacing import replace_durably
from trialpress.desk.sheet.draft import Draft, DraftError, RunTypedError, fill, read_draft

DAY = "2031-03-16-hall"
HEADER = "run,note,status,hits,tries\n"


def draft(*rows: dict[str, str], table: str = "counts") -> Draft:
    return read_draft({"day": DAY, "table": table, "rows": list(rows)})


def test_a_planned_row_is_filled_in_its_place_and_other_bytes_stay(tmp_path: Path) -> None:
    file = tmp_path / "counts.csv"
    file.write_bytes(
        b'run,note,status,hits,tries\r\na,"x ",valid,1,2\r\n'
        b'b,"mind, the dog",planned,,\r\nc,,planned,,'
    )

    filled = fill(file, draft({"run": "b", "status": "valid", "hits": "3", "tries": "4"}))

    assert filled.data == (
        b'run,note,status,hits,tries\r\na,"x ",valid,1,2\r\n'
        b'b,"mind, the dog",valid,3,4\r\nc,,planned,,'
    )
    assert filled.rows == {3}


def test_the_last_row_without_a_line_end_keeps_none(tmp_path: Path) -> None:
    file = tmp_path / "counts.csv"
    file.write_bytes(b"run,status,hits,tries\na,planned,,")

    filled = fill(file, draft({"run": "a", "status": "valid", "hits": "3", "tries": "4"}))

    assert filled.data == b"run,status,hits,tries\na,valid,3,4"


def test_what_a_plan_says_of_a_reading_is_never_taken_for_one(tmp_path: Path) -> None:
    file = tmp_path / "counts.csv"
    file.write_text(HEADER + "a,,planned,,30\n", encoding="utf-8")

    filled = fill(file, draft({"run": "a", "status": "valid", "hits": "3"}))

    assert filled.data.decode() == HEADER + "a,,valid,3,\n"


def test_a_row_kept_twice_is_there_once(tmp_path: Path) -> None:
    file, made = tmp_path / "counts.csv", draft({"run": "a", "status": "valid", "hits": "3"})
    first = fill(file, made)
    replace_durably(file, first.data)

    second = fill(file, made)

    assert (first.is_new, second.is_new) == (True, False)
    assert second.data == first.data


def test_a_run_that_is_typed_already_is_not_changed(tmp_path: Path) -> None:
    file = tmp_path / "counts.csv"
    file.write_text(HEADER + "a,,valid,3,4\n", encoding="utf-8")

    with pytest.raises(RunTypedError, match=r"row 2, already .* trialpress correct"):
        fill(file, draft({"run": "a", "status": "valid", "hits": "4", "tries": "4"}))


def test_the_rows_of_a_graded_run_are_told_apart_by_zone_and_grader(tmp_path: Path) -> None:
    file = tmp_path / "gradings.csv"
    file.write_text(
        "run,zone,grader,grade,status\na,left,ann,,planned\na,left,ben,,planned\n", encoding="utf-8"
    )
    rows = [
        {"run": "a", "zone": "left", "grader": grader, "grade": grade, "status": "valid"}
        for grader, grade in (("ben", "2"), ("ann", "1"))
    ]

    filled = fill(file, draft(*rows, table="gradings"))

    assert filled.data.decode().splitlines()[1:] == ["a,left,ann,1,valid", "a,left,ben,2,valid"]
    assert filled.rows == {2, 3}


@pytest.mark.parametrize(
    "sent",
    [
        None,
        {"day": "../2031-03-16-hall", "table": "counts", "rows": [{"run": "a"}]},
        {"day": "2031-03-16-hall/..", "table": "counts", "rows": [{"run": "a"}]},
        {"day": DAY, "table": "setups", "rows": [{"run": "a"}]},
        {"day": DAY, "table": "counts", "rows": []},
        {"day": DAY, "table": "counts", "rows": ["a"]},
        {"day": DAY, "table": "counts", "rows": [{"run": 1}]},
        {"day": DAY, "table": "counts", "rows": [{"run": "a", "colour": "red"}]},
        {"day": DAY, "table": "counts", "rows": [{"run": "a"}, {"run": "b"}]},
        {"day": DAY, "table": "counts", "rows": [{"note": "x" * 2001, "run": "a"}]},
    ],
)
def test_what_is_no_run_is_refused_and_says_that_nothing_was_written(sent: object) -> None:
    with pytest.raises(DraftError, match="Nothing was written"):
        read_draft(sent)
