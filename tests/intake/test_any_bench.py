"""Any bench that is right gives no finding; any one mistake is found in its row and column.

In:  benches made up by hypothesis, and mistakes people make.
Out: findings.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from examples import TIMES, examples
from intake.broken import findings_of
from intake.made_bench import DAY, MadeBench, made_benches
from trialpress.intake import FindingCode


@dataclass(frozen=True)
class Mistake:
    """What somebody types into one cell of one row, and what has to be found there."""

    table: str
    column: str
    typed: Callable[[str], str]
    code: FindingCode
    found_in: str | None = None


def _always(text: str) -> Callable[[str], str]:
    return lambda _: text


MISTAKES = [
    Mistake("weighings", "run", str.upper, FindingCode.CELL_PATTERN),
    Mistake("weighings", "at", _always("2031-03-04T10:00"), FindingCode.DATE_OTHER_DAY),
    Mistake("weighings", "at", _always("3.2.31"), FindingCode.CELL_PATTERN),
    Mistake("weighings", "at", _always("03/02/2031"), FindingCode.CELL_AMBIGUOUS),
    Mistake("weighings", "setup", _always("three-stock"), FindingCode.REFERENCE_UNKNOWN),
    Mistake("weighings", "protocol", _always("hair"), FindingCode.WRONG_TABLE),
    Mistake("weighings", "version", _always("9"), FindingCode.REFERENCE_UNKNOWN),
    Mistake("weighings", "version", _always("2"), FindingCode.PROTOCOL_NOT_YET, "protocol"),
    Mistake("weighings", "replicate", _always("1.5"), FindingCode.CELL_TYPE),
    Mistake("weighings", "dose_g", _always(""), FindingCode.READING_MISSING),
    Mistake("weighings", "dose_g", _always("18.9"), FindingCode.DOSE_OUTSIDE_TOLERANCE),
    Mistake("weighings", "dose_g", _always("19,875"), FindingCode.CELL_AMBIGUOUS),
    Mistake("weighings", "dose_by", _always("guess"), FindingCode.CELL_NOT_ALLOWED),
    Mistake("weighings", "before_g", _always("5000"), FindingCode.MASS_LOST, "after_g"),
    Mistake("weighings", "before_g", _always(""), FindingCode.GAIN_OR_MASSES),
    Mistake("weighings", "after_g", _always("5000"), FindingCode.OVER_RECOVERED),
    Mistake("weighings", "after_g", _always("nan"), FindingCode.BLANK_LOOKING),
    Mistake("weighings", "status", _always("void"), FindingCode.VOID_WITHOUT_REASON, "reason"),
    Mistake("weighings", "status", _always(""), FindingCode.CELL_BLANK),
    Mistake("weighings", "note", _always("=1+1"), FindingCode.FORMULA_TEXT),
    Mistake("weighings", "note", _always("\u200b"), FindingCode.BLANK_LOOKING),
    Mistake("counts", "hits", _always("999"), FindingCode.HITS_ABOVE_TRIES),
    Mistake("counts", "tries", _always("0"), FindingCode.CELL_RANGE),
    Mistake("values", "run", _always("count-0"), FindingCode.RUN_REPEATED),
    Mistake("values", "value", _always(""), FindingCode.READING_MISSING),
    Mistake("values", "value", _always("1_0"), FindingCode.CELL_TYPE),
    Mistake("values", "status", _always("planned"), FindingCode.PLANNED_WITH_READING, "value"),
]


LOOK_AGAIN = {
    FindingCode.RUN_FAR_OFF,
    FindingCode.READINGS_REPEATED,
    FindingCode.EMPTY_MASS_UNUSUAL,
}
"""What a run gives by being unlike the others, as these may be: their masses are any at all."""


@settings(max_examples=examples(20), deadline=None)
@given(bench=made_benches())
def test_a_bench_that_is_right_gives_no_finding(
    bench: MadeBench, tmp_path_factory: pytest.TempPathFactory
) -> None:
    findings = findings_of(bench.write(tmp_path_factory.mktemp("bench")))

    assert [finding for finding in findings if finding.code not in LOOK_AGAIN] == []


@pytest.mark.parametrize(
    "mistake", MISTAKES, ids=lambda mistake: f"{mistake.code}-{mistake.column}"
)
@settings(max_examples=2 if TIMES == 1 else examples(4), deadline=None)
@given(bench=made_benches(), data=st.data())
def test_one_mistake_is_found_in_its_row_and_column(
    mistake: Mistake,
    bench: MadeBench,
    data: st.DataObject,
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    rows = getattr(bench, mistake.table)
    number = data.draw(st.integers(1, len(rows) - 1))
    column = rows[0].index(mistake.column)
    rows[number][column] = mistake.typed(rows[number][column])

    findings = findings_of(bench.write(tmp_path_factory.mktemp("bench")))

    assert (
        mistake.code,
        f"{DAY}/{mistake.table}.csv",
        number + 1,
        mistake.found_in or mistake.column,
    ) in {(finding.code, finding.file, finding.row, finding.column) for finding in findings}
