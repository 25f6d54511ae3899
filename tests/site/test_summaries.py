"""The sentences above a standing follow what was decided, and never say more."""

from __future__ import annotations

from dataclasses import replace

import pytest

from trialpress.bench import Settings
from trialpress.site.pages.lines import StandingLine
from trialpress.site.source import SiteSource
from trialpress.site.summaries import (
    elsewhere_summary,
    setup_summary,
    spread_summary,
    standing_summary,
)
from trialpress.view import verdicts
from trialpress.view.results import OverallScope, SeriesSpread

NBSP = "\N{NO-BREAK SPACE}"


@pytest.fixture
def line(source: SiteSource) -> StandingLine:
    return source.lines["pickup", 2][0]


@pytest.fixture
def settings(source: SiteSource) -> Settings:
    return source.view.settings


def standing(line: StandingLine, *told: tuple[str, str, str]) -> tuple[StandingLine, ...]:
    """Lines by set-up label, relation to the first, and top cut."""
    return tuple(
        replace(
            line,
            name=replace(line.name, full=f"Maker ({label})", label=label),
            relation=verdicts.relation(relation),
            top=verdicts.top_cut(top),
        )
        for label, relation, top in told
    )


def test_who_is_told_from_the_first_and_who_is_not(line: StandingLine, settings: Settings) -> None:
    lines = standing(
        line,
        ("a", "first", "certain"),
        ("b", "level", "possible"),
        ("c", "cannot tell", "possible"),
        ("d", "worse", "out"),
        ("e", "worse", "out"),
    )

    first, certain, possible = standing_summary(lines, settings)

    assert first == (
        "Maker (a) comes first by mean. Of the others, 2 are worse, 1 is level with it and "
        "1 cannot be told from it."
    )
    assert certain == "The runs tell that these are in the top 3: Maker (a)."
    assert possible == "Not ruled out of it: Maker (b); Maker (c)."


def test_nobody_certain_is_said(line: StandingLine, settings: Settings) -> None:
    lines = standing(line, *[(str(n), "cannot tell", "possible") for n in range(6)])

    assert standing_summary(lines, settings)[1:] == (
        "No set-up is shown to be in the top 3.",
        f"Not ruled out of it: 6{NBSP}set-ups.",
    )


def test_one_alone_and_none_at_all(line: StandingLine, settings: Settings) -> None:
    alone = standing(line, ("a", "first", "certain"))

    assert standing_summary(alone, settings) == (
        "Only Maker (a) has been run: there is nothing to compare it with.",
    )
    assert standing_summary((), settings) == ("No valid run yet.",)


def placed(line: StandingLine, place: int, best: int, worst: int, of: int) -> StandingLine:
    return replace(
        line,
        series_title=f"Protocol {place}",
        place_key=place,
        place_best=best,
        place_worst=worst,
        ranked=of,
        unit="%",
        marks=(),
    )


def test_a_half_is_said_only_where_all_possible_places_lie_in_it(line: StandingLine) -> None:
    lines = (
        placed(line, 4, 1, 5, 10),  # up to the 5th of 10: the better half
        placed(line, 5, 1, 6, 10),  # the 6th is in the other one
        placed(line, 7, 6, 10, 10),
        placed(line, 8, 5, 10, 10),
        placed(line, 3, 3, 3, 5),  # the one in the middle is in neither
    )

    told = setup_summary("as unboxed", lines)

    assert told == (
        "As unboxed: in the better half on Protocol 4 (4th of 10); in the worse half on Protocol 7 "
        "(7th of 10); in which half cannot be told on Protocol 5 (5th of 10), Protocol 3 (3rd of "
        "5) and Protocol 8 (8th of 10)."
    )


def test_a_place_is_told_with_what_qualifies_it_and_a_value_that_is_no_share(
    line: StandingLine,
) -> None:
    noisy = replace(
        placed(line, 2, 1, 2, 2), unit="dB(A)", value="72.4", marks=("provisional", "on one run")
    )

    assert setup_summary("slow", (noisy,)) == (
        "Slow: in which half cannot be told on Protocol 2 "
        f"(2nd of 2, 72.4{NBSP}dB(A), provisional, on one run)."
    )
    assert setup_summary("as unboxed", ()) == "As unboxed: no valid run yet."


def test_what_the_overall_says_of_other_floors() -> None:
    bench = OverallScope("bench", 3, None, claims_best=True, why=None)
    elsewhere = OverallScope("floors like these", 3, 10.8, claims_best=True, why=None)
    too_few = OverallScope("bench", 2, None, claims_best=False, why="too-few-floors")

    (told,) = elsewhere_summary([bench, elsewhere])

    assert told.startswith(f"Set-ups do better on one floor than on another, by 10.8{NBSP}%")
    assert elsewhere_summary([too_few]) == (
        "2 floor(s), fewer than 3: no best overall is claimed.",
    )
    assert elsewhere_summary([]) == ()


SPREAD = SeriesSpread(
    protocol="carpet",
    version=1,
    method="pooled",
    spread=0.66,
    spread_least=0.66,
    spread_most=0.66,
    dispersion=None,
    day_evidence="estimated",
    day_spread=0.3,
    sitting_evidence="zero",
    sitting_spread=0.0,
    runs_to_decide=None,
    study_set_ups=8,
    study_case="three-runs",
    setups=8,
    matters=1.5,
    decimals=1,
    unit="%",
    why=None,
)


def test_what_the_intervals_rest_on_and_what_they_leave_out() -> None:
    assert spread_summary(SPREAD) == (
        f"Runs of one set-up scatter by 0.66{NBSP}% (standard deviation, shared by all set-ups).",
        (
            f"Bench days differ by 0.30{NBSP}% (standard deviation). Differences between set-ups "
            "that were run on different days carry it."
        ),
    )
    by_level = replace(SPREAD, method="pooled, by level", spread_least=0.32, spread_most=1.03)
    assert spread_summary(by_level)[0] == (
        "How much runs of one set-up scatter goes with the level of its mean: by 0.32 to "
        f"1.03{NBSP}% (standard deviations, from one relation shared by all set-ups)."
    )
    counted = replace(SPREAD, spread=None, dispersion=1.25, day_evidence="one day")
    assert spread_summary(counted) == (
        "Runs of one set-up vary 1.25 times as much as by chance alone (variance).",
        "All runs were made on one day: how much days differ is not in the intervals.",
    )
    unknown = replace(SPREAD, spread=None, day_evidence="unknown", why="no-repeats")
    assert spread_summary(unknown) == (
        "No set-up has two valid runs under this protocol.",
        (
            "No set-up was run on two days: how much days differ cannot be told, and is not in "
            "the intervals."
        ),
    )


def test_how_many_runs_would_leave_nothing_untold_is_said_with_its_evenings() -> None:
    alike = spread_summary(replace(SPREAD, runs_to_decide=31))[-1]
    apart = spread_summary(replace(SPREAD, runs_to_decide=31, sitting_spread=0.4))[-1]

    assert alike == (
        f"With about 31{NBSP}runs of each any two would be told apart or called level (within "
        f"1.5{NBSP}points), if runs scatter as they did."
    )
    assert ", one an evening, " in apart
