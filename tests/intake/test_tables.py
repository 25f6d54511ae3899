"""What intake hands on: every row of every table, as typed and as corrected.

In:  the small bench without faults.
Out: rows with the columns of the schemas, and where they stand.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path

import pytest

from intake.broken import BASE, lay_out
from trialpress.bench import TABLES, Bench
from trialpress.intake import (
    CheckedBench,
    FaultyBenchError,
    FindingCode,
    Table,
    read_bench,
    read_schema,
)
from trialpress.intake.rows import Row


@pytest.fixture(scope="module")
def checked() -> CheckedBench:
    return read_bench(Bench(BASE), None)


@pytest.mark.parametrize("table", TABLES)
def test_every_table_has_all_its_columns_as_text(table: str, checked: CheckedBench) -> None:
    of_it = checked.tables[table]
    assert of_it.as_typed
    for row in (*of_it.as_typed, *of_it.corrected):
        assert list(row.cells) == list(read_schema(table).columns)
        cells = [cell for cell in row.cells.values() if cell is not None]
        assert {type(cell) for cell in cells} == {str}
        assert "" not in cells


def test_a_table_without_a_file_is_there_and_empty(tmp_path: Path) -> None:
    bench = lay_out([{"file": "data/catalogue/claims.csv", "delete": True}], tmp_path)

    assert read_bench(bench, None).tables["claims"] == Table("claims", (), ())


def test_rows_say_where_they_come_from(checked: CheckedBench) -> None:
    weighing, maker = checked.tables["weighings"].as_typed[2], checked.tables["makers"].as_typed[0]

    # row 4 of the file stands on its lines 4 and 5: the note of the row above has a line break
    assert (weighing.key, weighing.file, weighing.number, weighing.day, weighing.day_date) == (
        ("hall-03",),
        "data/days/2031-03-02-hall/weighings.csv",
        4,
        "2031-03-02-hall",
        date(2031, 3, 2),
    )
    assert (maker.file, maker.number, maker.day, maker.day_date) == (
        "data/catalogue/makers.csv",
        2,
        None,
        None,
    )


def test_both_values_of_a_correction_are_kept(checked: CheckedBench) -> None:
    gradings = checked.tables["gradings"]

    assert column(gradings.as_typed, "grade") == ["0", "2", "1", "2"]
    assert column(gradings.corrected, "grade") == ["0", "2", "1", "1"]
    for other in set(read_schema("gradings").columns) - {"grade"}:
        assert column(gradings.as_typed, other) == column(gradings.corrected, other)


def test_catalogue_rows_can_be_corrected(checked: CheckedBench) -> None:
    setups = checked.tables["setups"]

    assert column(setups.as_typed, "mode") == ["high", None]
    assert column(setups.corrected, "mode") == ["high", "quiet"]


def test_rows_of_later_days_are_handed_on_whatever_the_date() -> None:
    early = read_bench(Bench(BASE), date(2031, 3, 2)).tables["weighings"].as_typed

    assert {row.day_date for row in early} == {date(2031, 3, 2), date(2031, 3, 9)}


def test_texts_come_by_protocol(checked: CheckedBench) -> None:
    assert sorted(checked.methods) == ["edges", "hair", "noise", "pickup", "stains"]
    assert checked.methods["hair"].startswith("# How a run of hair is made")


def test_settings_come_with_their_defaults(checked: CheckedBench) -> None:
    assert checked.settings.name == "A Small Bench"
    assert checked.settings.notice is None
    assert checked.settings.single_runs == "borrowed"


def test_a_broken_rule_on_a_later_day_does_not_stop_a_build_as_of_now(tmp_path: Path) -> None:
    edits = [{"file": "data/days/2031-03-09-porch/counts.csv", "old": "28,30", "new": "31,30"}]
    bench = lay_out(edits, tmp_path)

    assert read_bench(bench, date(2031, 3, 8)).findings == ()
    with pytest.raises(FaultyBenchError):
        read_bench(bench, date(2031, 3, 9))


def test_a_cell_no_schema_allows_stops_a_build_whatever_its_day(tmp_path: Path) -> None:
    edits = [{"file": "data/days/2031-03-09-porch/counts.csv", "old": "28,30", "new": "x,30"}]

    with pytest.raises(FaultyBenchError) as caught:
        read_bench(lay_out(edits, tmp_path), date(2031, 3, 2))

    assert [finding.code for finding in caught.value.findings] == [FindingCode.CELL_TYPE]


def test_all_faults_of_all_files_are_told_together_and_in_order(tmp_path: Path) -> None:
    edits = [
        {"file": "data/bench.toml", "old": '"EUR"', "new": '"euro"'},
        {"file": "data/catalogue/makers.csv", "old": "Maker Two", "new": "=A1"},
        {"file": "data/days/2031-03-09-porch/counts.csv", "old": "28,30", "new": "31,30"},
        {"file": "data/days/2031-03-09-porch/counts.csv", "old": "19,30", "new": "x,30"},
        {"file": "data/days/2031-03-02-hall/photos.csv", "old": "after.jpg", "new": "gone.jpg"},
        {"file": "data/corrections.csv", "old": "two-stock", "new": "three-stock"},
    ]

    with pytest.raises(FaultyBenchError) as caught:
        read_bench(lay_out(edits, tmp_path), None)

    assert [finding.where for finding in caught.value.findings] == [
        "data/bench.toml, currency",
        "data/catalogue/makers.csv, row 3, name",
        "data/corrections.csv, row 5, row",
        "data/days/2031-03-02-hall/photos.csv, row 2, file",
        "data/days/2031-03-09-porch/counts.csv, row 2, hits",
        "data/days/2031-03-09-porch/counts.csv, row 3, hits",
    ]


def test_the_json_of_a_finding_has_its_eight_parts(tmp_path: Path) -> None:
    edits = [{"file": "data/days/2031-03-09-porch/counts.csv", "old": "28,30", "new": "31,30"}]

    with pytest.raises(FaultyBenchError) as caught:
        read_bench(lay_out(edits, tmp_path), None)

    (finding,) = caught.value.findings
    assert finding.as_json() == {
        "code": "hits-above-tries",
        "severity": "error",
        "file": "data/days/2031-03-09-porch/counts.csv",
        "row": 2,
        "column": "hits",
        "value": "31",
        "problem": "31 hits are more than the 30 tries",
        "remedy": "Swap the two figures, or mark the run void with a reason.",
    }


def column(rows: Sequence[Row], name: str) -> list[str | None]:
    return [row.cells[name] for row in rows]
