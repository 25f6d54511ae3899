"""The result that the screen at the bench shows at once is the one that is published."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace

import pytest

from flow.benches import SMALL
from trialpress.bench import READING_TABLES, Bench
from trialpress.desk.measured import BenchState, read_state
from trialpress.desk.sheet.draft import Draft
from trialpress.desk.sheet.typed_result import typed_result
from trialpress.intake import CheckedBench


@pytest.fixture(scope="module")
def state() -> Iterator[BenchState]:
    found = read_state(Bench(SMALL))
    assert found.store is not None
    with closing(found.store.connection):
        yield found


@pytest.fixture(scope="module")
def checked(state: BenchState) -> CheckedBench:
    assert state.checked is not None
    return state.checked


def drafts_of(checked: CheckedBench) -> dict[str, Draft]:
    """Every run of the bench as the bench sheet would have sent it."""
    drafts: dict[str, Draft] = {}
    for table in READING_TABLES:
        for row in checked.tables[table].corrected:
            cells = {column: text for column, text in row.cells.items() if text is not None}
            earlier = drafts.get(cells["run"])
            rows = (*earlier.rows, cells) if earlier else (cells,)
            drafts[cells["run"]] = Draft(row.day or "", table, rows)
    return drafts


def test_of_every_kind_of_reading_it_is_what_is_measured(
    state: BenchState, checked: CheckedBench
) -> None:
    drafts = drafts_of(checked)

    assert {drafts[run].table for run in state.runs} == set(READING_TABLES)
    for run, measured in state.runs.items():
        result = typed_result(checked, drafts[run])
        assert result is not None
        assert float(result) == pytest.approx(measured.value, abs=1e-9)


@pytest.mark.parametrize("typed", ["", "2", "nan", "1e999", "twenty", "Infinity"])
def test_while_a_reading_is_missing_or_cannot_be_there_is_none(
    checked: CheckedBench, typed: str
) -> None:
    weighed = next(d for d in drafts_of(checked).values() if "after_g" in d.rows[0])
    row = {column: text for column, text in weighed.rows[0].items() if column != "after_g"}
    half = replace(weighed, rows=({**row, "after_g": typed} if typed else row,))

    assert typed_result(checked, half) is None


def test_a_share_of_clean_zones_waits_for_every_grade(checked: CheckedBench) -> None:
    graded = next(d for d in drafts_of(checked).values() if d.table == "gradings")
    *rest, last = graded.rows
    ungraded = {column: text for column, text in last.items() if column != "grade"}

    assert typed_result(checked, replace(graded, rows=(*rest, ungraded))) is None
