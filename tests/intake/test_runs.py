"""Rules that look at several rows together: replicates and graded runs.

In:  rows typed for the purpose.
Out: findings in the right row.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

import pytest

from intake.typed_rows import numbers, records_of, typed_row
from trialpress.bench import TABLES
from trialpress.intake import FindingCode
from trialpress.intake.replicates import number_replicates
from trialpress.intake.rows import Row
from trialpress.intake.rules.gradings import check_gradings
from trialpress.intake.rules.protocols import check_protocols
from trialpress.intake.rules.runs import check_replicates

STAINS = typed_row("protocols", protocol="stains", reading="graded", clean_limit="1", zones="2")


def runs(
    *replicates: tuple[str | None, str], day: str = "2031-03-02-hall", first: int = 2
) -> list[Row]:
    return [
        typed_row("weighings", row, day=day, run=f"run-{row}", replicate=replicate, status=status)
        for row, (replicate, status) in enumerate(replicates, first)
    ]


def grades(*rows: tuple[str, str], status: str = "valid") -> list[Row]:
    return [
        typed_row("gradings", row, grader=grader, zone=zone, status=status)
        for row, (grader, zone) in enumerate(rows, 2)
    ]


@pytest.mark.parametrize(
    ("replicates", "found"),
    [
        ([("1", "valid"), ("2", "valid"), ("3", "valid")], []),
        # gaps and late arrivals are no fault
        ([("2", "valid"), ("1", "valid")], []),
        ([("1", "valid"), ("4", "valid")], []),
        ([("1", "valid"), ("1", "valid")], [3]),
        # what a void run has typed, the run that took its place may have too
        ([("1", "valid"), ("2", "void"), ("2", "valid")], []),
        # a planned run has no number yet
        ([("1", "valid"), ("1", "planned")], []),
        ([(None, "valid"), ("1", "valid"), (None, "valid")], []),
    ],
)
def test_a_number_is_typed_once(
    replicates: Sequence[tuple[str | None, str]], found: list[int]
) -> None:
    findings = list(check_replicates(records_of(*runs(*replicates))))

    assert [finding.row for finding in findings] == found
    assert all(finding.code is FindingCode.REPLICATE_REPEATED for finding in findings)


@pytest.mark.parametrize(
    ("typed", "numbered"),
    [
        ([(None, "valid"), (None, "valid"), (None, "valid")], ["1", "2", "3"]),
        ([("1", "valid"), ("3", "valid"), (None, "valid"), (None, "valid")], ["1", "3", "2", "4"]),
        # a void run keeps its number, a planned one takes none
        ([(None, "valid"), (None, "void"), (None, "valid")], ["1", "2", "3"]),
        ([(None, "valid"), (None, "planned"), (None, "valid")], ["1", None, "2"]),
    ],
)
def test_blank_replicates_take_the_next_free_number(
    typed: Sequence[tuple[str | None, str]], numbered: list[str | None]
) -> None:
    assert replicates_of(*runs(*typed)) == numbered


def test_blank_replicates_follow_the_time_whatever_the_order_of_the_files() -> None:
    late = typed_row("weighings", 2, run="a", replicate=None, at="2031-03-02T21:00")
    early = typed_row("weighings", 3, run="b", replicate=None, at="2031-03-02T19:00")
    other = typed_row("weighings", 4, run="c", replicate=None, setup="two-stock")

    assert replicates_of(late, early, other) == ["2", "1", "1"]


def test_the_rows_of_a_graded_run_share_a_number() -> None:
    rows = [typed_row("gradings", row, zone=f"z{row}", replicate=None) for row in (2, 3)]
    later = typed_row("gradings", 4, run="hall-12", at="2031-03-02T20:00", replicate=None)

    assert replicates_of(*rows, later, table="gradings") == ["1", "1", "2"]


def test_a_later_day_changes_no_number_of_an_earlier_one() -> None:
    earlier = runs((None, "valid"), (None, "valid"))
    later = runs(("1", "valid"), day="2031-03-09-hall", first=4)

    assert replicates_of(*earlier, *later, as_of=date(2031, 3, 2)) == ["1", "2", "1"]


def replicates_of(
    *rows: Row, table: str = "weighings", as_of: date | None = None
) -> list[str | None]:
    tables = {name: [row for row in rows if row.table == name] for name in TABLES}
    return [row.cells["replicate"] for row in number_replicates(tables, as_of)[table]]


def test_rules_see_no_day_after_the_date() -> None:
    earlier = runs(("1", "valid"))
    later = runs(("1", "valid"), day="2031-03-09-hall", first=3)

    assert numbers(records_of(*earlier, *later, as_of=date(2031, 3, 8)).runs) == [2]
    assert numbers(records_of(*earlier, *later, as_of=date(2031, 3, 9)).runs) == [2, 3]


def test_two_graders_with_all_zones_are_fine() -> None:
    rows = grades(("ann", "left"), ("ann", "right"), ("ben", "left"), ("ben", "right"))

    assert list(check_gradings(records_of(STAINS, *rows))) == []


def test_a_zone_only_one_grader_graded_is_missing_for_the_other() -> None:
    rows = grades(("ann", "left"), ("ann", "right"), ("ben", "left"))

    (finding,) = check_gradings(records_of(STAINS, *rows))

    assert (finding.code, finding.row) == (FindingCode.ZONE_MISSING, 4)
    assert finding.problem == "ben graded 1 of 2 zones; missing: right"


def test_a_misspelt_zone_is_told_as_one_too_many() -> None:
    rows = grades(("ann", "left"), ("ann", "right"), ("ann", "rihgt"))

    (finding,) = check_gradings(records_of(STAINS, *rows))

    assert finding.code is FindingCode.ZONE_UNEXPECTED


def test_a_zone_still_planned_is_missing_once_the_others_are_graded() -> None:
    rows = [*grades(("ann", "left")), typed_row("gradings", 3, zone="right", status="planned")]

    (finding,) = check_gradings(records_of(STAINS, *rows))

    assert (finding.code, finding.row) == (FindingCode.GRADING_PLANNED, 3)


def test_a_version_that_does_not_continue_may_change_all_it_likes() -> None:
    first = typed_row("protocols")
    second = typed_row("protocols", 3, version="2", reading="value", unit="dB", in_overall="0")

    assert list(check_protocols(records_of(first, second))) == []


def test_one_void_row_voids_a_graded_run() -> None:
    rows = [*grades(("ann", "left")), typed_row("gradings", 3, zone="right", status="void")]
    facts = records_of(STAINS, *rows)

    assert [run.status for run in facts.runs] == ["void"]
    assert list(check_gradings(facts)) == []


def test_a_zone_is_not_told_missing_where_its_row_is_faulty() -> None:
    rows = grades(("ann", "left"), ("ann", "right"))
    faults = {(rows[1].file, rows[1].number): frozenset({"version"})}

    assert list(check_gradings(records_of(STAINS, *rows, faults=faults))) == []
