"""What becomes visible next, and when."""

from __future__ import annotations

from datetime import date

from flow.benches import SMALL
from trialpress.bench import Bench
from trialpress.intake import read_bench
from trialpress.intake.embargo import what_comes


def test_everything_dated_later_is_told_the_next_first() -> None:
    as_of = date(2031, 3, 10)

    coming = what_comes(read_bench(Bench(SMALL), as_of), as_of)

    assert [one.text for one in coming] == [
        "2031-03-12: correction grade",
        "2031-03-12: correction label",
        "2031-03-20: correction again",
        "2031-06-01: set-up two-stock",
        "2031-06-08: film sticks",
    ]


def test_later_days_and_protocols_come_too() -> None:
    as_of = date(2031, 3, 5)

    coming = what_comes(read_bench(Bench(SMALL), as_of), as_of)

    assert [one.text for one in coming[:2]] == [
        "2031-03-06: protocol pickup 2",
        "2031-03-09: day 2031-03-09-porch",
    ]
