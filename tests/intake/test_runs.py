"""Rules that look at several rows together: replicates and graded runs.

In:  rows typed for the purpose.
Out: findings in the right row.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

import pytest

from intake.typed_rows import DAY, facts_of, numbers, typed_row
from trialpress.intake import FindingCode
from trialpress.intake.rows import Row
from trialpress.intake.rules.gradings import check_gradings
from trialpress.intake.rules.protocols import check_protocols
from trialpress.intake.rules.replicates import check_replicates

STAINS = typed_row("protocols", protocol="stains", reading="graded", clean_limit="1", zones="2")


def runs(*replicates: tuple[str, str], day: str = "2031-03-02-hall", first: int = 2) -> list[Row]:
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
        ([("2", "valid"), ("1", "valid")], []),
        ([("1", "valid"), ("3", "valid")], [(FindingCode.REPLICATE_GAP, 3)]),
        ([("2", "valid")], [(FindingCode.REPLICATE_GAP, 2)]),
        ([("1", "valid"), ("1", "valid")], [(FindingCode.REPLICATE_REPEATED, 3)]),
        (
            [("1", "valid"), ("4", "valid"), ("6", "valid")],
            [(FindingCode.REPLICATE_GAP, 3), (FindingCode.REPLICATE_GAP, 4)],
        ),
        # a void run keeps its number, and the run that took its place may have the same or the next
        ([("1", "valid"), ("2", "void"), ("3", "valid")], []),
        ([("1", "valid"), ("2", "void"), ("2", "valid")], []),
        # a planned run holds its number
        ([("1", "valid"), ("2", "planned"), ("3", "valid")], []),
        ([("1", "valid"), ("1", "planned")], [(FindingCode.REPLICATE_REPEATED, 3)]),
    ],
)
def test_replicates_are_numbered_without_gap_or_repeat(
    replicates: Sequence[tuple[str, str]], found: list[tuple[FindingCode, int]]
) -> None:
    findings = list(check_replicates(facts_of(*runs(*replicates))))

    assert [(finding.code, finding.row) for finding in findings] == found


def test_a_number_that_comes_on_a_later_day_is_a_gap_until_then() -> None:
    earlier = runs(("1", "valid"), ("3", "valid"))
    later = runs(("2", "valid"), day="2031-03-09-hall", first=4)

    (as_of_then,) = check_replicates(facts_of(*earlier, *later, as_of=date(2031, 3, 2)))
    (in_the_end,) = check_replicates(facts_of(*earlier, *later))

    assert as_of_then == in_the_end
    assert as_of_then.code is FindingCode.REPLICATE_GAP


def test_rules_see_no_day_after_the_date() -> None:
    earlier = runs(("1", "valid"))
    later = runs(("1", "valid"), day="2031-03-09-hall", first=3)

    assert numbers(facts_of(*earlier, *later, as_of=date(2031, 3, 8)).runs) == [2]
    assert numbers(facts_of(*earlier, *later, as_of=date(2031, 3, 9)).runs) == [2, 3]


def test_two_graders_with_all_zones_are_fine() -> None:
    rows = grades(("ann", "left"), ("ann", "right"), ("ben", "left"), ("ben", "right"))

    assert list(check_gradings(facts_of(STAINS, *rows))) == []


def test_a_zone_only_one_grader_graded_is_missing_for_the_other() -> None:
    rows = grades(("ann", "left"), ("ann", "right"), ("ben", "left"))

    (finding,) = check_gradings(facts_of(STAINS, *rows))

    assert (finding.code, finding.row) == (FindingCode.ZONE_MISSING, 4)
    assert finding.problem == "ben graded 1 of 2 zones; missing: right"


def test_a_misspelt_zone_is_told_as_one_too_many() -> None:
    rows = grades(("ann", "left"), ("ann", "right"), ("ann", "rihgt"))

    (finding,) = check_gradings(facts_of(STAINS, *rows))

    assert finding.code is FindingCode.ZONE_UNEXPECTED


def test_a_zone_still_planned_is_missing_once_the_others_are_graded() -> None:
    rows = [*grades(("ann", "left")), typed_row("gradings", 3, zone="right", status="planned")]

    (finding,) = check_gradings(facts_of(STAINS, *rows))

    assert finding.code is FindingCode.ZONE_MISSING


def test_a_version_that_does_not_continue_may_change_all_it_likes() -> None:
    first = typed_row("protocols")
    second = typed_row("protocols", 3, version="2", reading="value", unit="dB", in_overall="0")

    assert list(check_protocols(facts_of(first, second))) == []


def test_one_void_row_voids_a_graded_run() -> None:
    rows = [*grades(("ann", "left")), typed_row("gradings", 3, zone="right", status="void")]
    facts = facts_of(STAINS, *rows)

    assert [run.status for run in facts.runs] == ["void"]
    assert list(check_gradings(facts)) == []


@pytest.mark.parametrize(
    ("cells", "gap_is_told"),
    [
        ({"setup": "one-stock", "protocol": "pikcup"}, False),
        ({"setup": "one-stcok", "protocol": "pickup"}, False),
        ({"setup": "two-stock", "protocol": "edges"}, True),
    ],
)
def test_a_gap_is_not_told_where_a_faulty_row_may_fill_it(
    cells: dict[str, str], *, gap_is_told: bool
) -> None:
    faulty = typed_row("weighings", 9, day=DAY, run="run-9", replicate="2", **cells)
    rows = [*runs(("1", "valid"), ("3", "valid")), faulty]
    faults = {(faulty.file, 9): frozenset({"setup"})}

    findings = list(check_replicates(facts_of(*rows, faults=faults)))

    assert [finding.code for finding in findings] == [FindingCode.REPLICATE_GAP] * gap_is_told


def test_a_zone_is_not_told_missing_where_its_row_is_faulty() -> None:
    rows = grades(("ann", "left"), ("ann", "right"))
    faults = {(rows[1].file, rows[1].number): frozenset({"version"})}

    assert list(check_gradings(facts_of(STAINS, *rows, faults=faults))) == []
