"""Which lines of a standing a still shows."""

from __future__ import annotations

from dataclasses import replace

import pytest

from trialpress.kit.stills.naming import mark_key, marked, place_says
from trialpress.kit.stills.standing import MOST_ROWS, Skipped, shown_lines
from trialpress.view import View
from trialpress.view.results import Standing


@pytest.fixture(scope="module")
def forty(small_view: View) -> list[Standing]:
    first = small_view.standings_of["pickup", 2][0]
    return [
        replace(first, setup=f"setup-{place}", place=place, position=place)
        for place in range(1, 41)
    ]


def places(lines: tuple[Standing | Skipped, ...]) -> list[int]:
    return [line.place for line in lines if isinstance(line, Standing)]


def words(lines: tuple[Standing | Skipped, ...]) -> list[str]:
    return [line.words for line in lines if isinstance(line, Skipped)]


def test_a_place_in_one_sitting_is_told_with_that_mark(forty: list[Standing]) -> None:
    calm = replace(forty[2], provisional=False, on_one_run=False, one_sitting=False)
    sitting = replace(calm, one_sitting=True)

    assert place_says(sitting, 40) == f"{place_says(calm, 40)} (in one sitting)"
    assert (marked("3", sitting), marked("3", calm)) == ("3°", "3")
    assert mark_key([calm, sitting]) == "°: in one sitting"
    assert mark_key([calm, replace(sitting, on_one_run=True)]) == ""


def test_the_first_twelve_and_how_many_more(forty: list[Standing]) -> None:
    lines = shown_lines(forty, frozenset({"setup-4"}))

    assert places(lines) == list(range(1, 13))
    assert words(lines) == ["… and 28 more"]


def test_the_one_looked_at_is_shown_wherever_it_stands(forty: list[Standing]) -> None:
    lines = shown_lines(forty, frozenset({"setup-33"}))

    assert places(lines) == [*range(1, 12), 33]
    assert words(lines) == ["… 21 between", "… and 7 more"]


def test_the_last_one_has_none_after_it(forty: list[Standing]) -> None:
    assert words(shown_lines(forty, frozenset({"setup-40"}))) == ["… 28 between"]


def test_never_more_than_twelve_however_many_are_looked_at(forty: list[Standing]) -> None:
    everyone = frozenset(row.setup for row in forty)

    assert len(places(shown_lines(forty, everyone))) == MOST_ROWS


def test_a_short_standing_is_shown_whole(forty: list[Standing]) -> None:
    assert shown_lines(forty[:5], frozenset()) == tuple(forty[:5])
