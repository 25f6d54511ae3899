"""Corrections: what was typed stays, what counts is what stands there now.

In:  rows as typed and lines of corrections.
Out: corrected rows, in the order of dates and of the file.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from hypothesis import given
from hypothesis import strategies as st

from intake.broken import BASE
from intake.typed_rows import typed_row
from trialpress.bench import TABLES, Bench
from trialpress.intake import FindingCode, read_bench
from trialpress.intake.corrections import (
    Corrected,
    CorrectionRecord,
    apply_corrections,
    read_corrections,
)
from trialpress.intake.rows import Row

RUN = typed_row("weighings", 5, run="hall-01", before_g="260.0", after_g="278.0")


def line(
    number: int, column: str, change: tuple[str | None, str | None], on: str, name: str
) -> Row:
    cells = {
        "correction": name,
        "table": "weighings",
        "row": "hall-01",
        "column": column,
        "corrected_on": on,
        "was": change[0],
        "now": change[1],
        "why": "read from the film",
    }
    return Row("corrections", "data/corrections.csv", number, None, None, cells)


def correct(*lines: Row) -> Corrected:
    tables: dict[str, Sequence[Row]] = dict.fromkeys(TABLES, ())
    return apply_corrections(tables | {"weighings": [RUN]}, read_corrections(lines))


def cell(corrected: Corrected, column: str) -> str | None:
    return corrected.tables["weighings"][0].cells[column]


def test_a_correction_changes_its_cell_and_leaves_the_row_as_typed_alone() -> None:
    corrected = correct(line(2, "before_g", ("260.0", "260.5"), "2031-03-10", "a"))

    assert corrected.findings == ()
    assert cell(corrected, "before_g") == "260.5"
    assert cell(corrected, "after_g") == "278.0"
    assert RUN.cells["before_g"] == "260.0"


def test_corrections_apply_by_date_and_then_by_their_place_in_the_file() -> None:
    corrected = correct(
        line(2, "before_g", ("261.0", "262.0"), "2031-03-12", "b"),
        line(3, "before_g", ("262.0", "263.0"), "2031-03-12", "c"),
        line(4, "before_g", ("260.0", "261.0"), "2031-03-10", "a"),
    )

    assert corrected.findings == ()
    assert cell(corrected, "before_g") == "263.0"


def test_was_is_compared_with_the_text_that_stands_there_digit_by_digit() -> None:
    (finding,) = correct(line(2, "before_g", ("260", "260.5"), "2031-03-10", "a")).findings

    assert finding.code is FindingCode.CORRECTION_WAS
    assert finding.problem.startswith("260 is not what stands in before_g: that is 260.0 (")


def test_an_entry_can_be_added_and_taken_out() -> None:
    added = correct(line(2, "operator", (None, "iv"), "2031-03-10", "a"))
    taken_out = correct(line(2, "after_g", ("278.0", None), "2031-03-10", "a"))

    assert (added.findings, cell(added, "operator")) == ((), "iv")
    assert (taken_out.findings, cell(taken_out, "after_g")) == ((), None)


def test_an_entry_that_has_to_be_there_cannot_be_taken_out() -> None:
    corrected = correct(line(2, "status", ("valid", None), "2031-03-10", "a"))

    assert [finding.code for finding in corrected.findings] == [FindingCode.CORRECTION_VALUE]
    assert cell(corrected, "status") == "valid"


def test_a_run_can_be_voided_with_its_reason_in_one_correction() -> None:
    corrected = correct(
        line(2, "status", ("valid", "void"), "2031-03-10", "a"),
        line(3, "reason", (None, "hose came off"), "2031-03-10", "a"),
    )

    assert corrected.findings == ()
    assert (cell(corrected, "status"), cell(corrected, "reason")) == ("void", "hose came off")


def test_a_reference_and_its_version_are_judged_once_both_are_corrected() -> None:
    tables: dict[str, Sequence[Row]] = dict.fromkeys(TABLES, ())
    tables |= {
        "weighings": [RUN],
        "protocols": [
            typed_row("protocols", protocol="pickup", version="1"),
            typed_row("protocols", 3, protocol="edges", version="2"),
        ],
    }
    lines = [
        line(2, "protocol", ("pickup", "edges"), "2031-03-10", "a"),
        line(3, "version", ("1", "2"), "2031-03-10", "a"),
    ]

    whole = apply_corrections(tables, read_corrections(lines))
    half = apply_corrections(tables, read_corrections(lines[:1]))

    assert whole.findings == ()
    assert [finding.code for finding in half.findings] == [FindingCode.CORRECTION_VALUE]


def test_corrections_made_later_are_not_in_force_yet() -> None:
    def before_g(as_of: date | None) -> str | None:
        rows = read_bench(Bench(BASE), as_of).tables["weighings"].corrected
        (mass,) = [row.cells["before_g"] for row in rows if row.key == ("hall-02",)]
        return mass

    # corrections.csv of the base: 260.0 to 260.2 on 10 March, to 260.3 on 20 March
    assert before_g(date(2031, 3, 9)) == "260.0"
    assert before_g(date(2031, 3, 10)) == "260.2"
    assert before_g(date(2031, 3, 19)) == "260.2"
    assert before_g(date(2031, 3, 20)) == "260.3"
    assert before_g(None) == "260.3"


@given(st.lists(st.integers(0, 28), max_size=8))
def test_corrections_up_to_a_date_are_a_beginning_of_all_of_them(days: list[int]) -> None:
    """A chain of corrections of one cell, each undoing nothing: order alone decides."""
    dates = sorted(f"2031-03-{day + 1:02d}" for day in days)
    values = ["260.0", *(f"{261 + step}.0" for step in range(len(dates)))]
    lines = [
        line(step + 2, "before_g", (values[step], values[step + 1]), on, f"c{step}")
        for step, on in enumerate(dates)
    ]
    corrections: tuple[CorrectionRecord, ...] = read_corrections(lines)

    for count in range(len(corrections) + 1):
        corrected = apply_corrections(
            dict.fromkeys(TABLES, ()) | {"weighings": [RUN]}, corrections[:count]
        )
        assert corrected.findings == ()
        assert cell(corrected, "before_g") == values[count]
