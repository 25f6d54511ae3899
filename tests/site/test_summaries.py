"""The sentences above a standing follow what was decided, and never say more."""

from __future__ import annotations

from dataclasses import replace

import pytest

from trialpress.bench import Settings
from trialpress.site import verdicts
from trialpress.site.material import Material
from trialpress.site.pages.lines import StandingLine
from trialpress.site.summaries import standing_summary

NBSP = "\N{NO-BREAK SPACE}"


@pytest.fixture
def line(material: Material) -> StandingLine:
    return material.lines["pickup", 2][0]


@pytest.fixture
def settings(material: Material) -> Settings:
    return material.facts.settings


def standing(line: StandingLine, *told: tuple[str, str, str]) -> tuple[StandingLine, ...]:
    """Lines by set-up label, relation to the first, and top cut."""
    return tuple(
        replace(
            line,
            name=replace(line.name, machine="Maker", label=label),
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
    assert certain == "Certain to be in the top 3: Maker (a)."
    assert possible == "Not ruled out of it: Maker (b); Maker (c)."


def test_nobody_certain_is_said(line: StandingLine, settings: Settings) -> None:
    lines = standing(line, *[(str(n), "cannot tell", "possible") for n in range(6)])

    assert standing_summary(lines, settings)[1:] == (
        "No set-up is certain to be in the top 3.",
        f"Not ruled out of it: 6{NBSP}set-ups.",
    )


def test_one_alone_and_none_at_all(line: StandingLine, settings: Settings) -> None:
    alone = standing(line, ("a", "first", "certain"))

    assert standing_summary(alone, settings) == (
        "Only Maker (a) has been run: there is nothing to compare it with.",
    )
    assert standing_summary((), settings) == ("No valid run yet.",)
