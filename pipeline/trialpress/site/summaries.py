"""The few sentences that say what standings show, and what they do not.

In:  the lines of a standing, or of one set-up in several.
Out: sentences. They follow ``top`` and ``relation`` as decided in results, never a chance.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Protocol

from trialpress.bench import Settings
from trialpress.results.overall_standing import FEWEST_FLOORS
from trialpress.site import wording
from trialpress.site.pages.lines import StandingLine
from trialpress.site.urls import SetupLink
from trialpress.view import terms, verdicts
from trialpress.view.results import OverallScope, SeriesSpread
from trialpress.view.verdicts import Verdict
from trialpress.words import figures, say, say_count

MOST_NAMES = 4
BY_LEVEL = "pooled, by level"


class PlacedLine(Protocol):
    """A line with a place, in one series or over all."""

    @property
    def name(self) -> SetupLink:
        """The set-up."""

    @property
    def top(self) -> Verdict:
        """Whether it is in the top cut."""

    @property
    def places_spoken(self) -> str:
        """The places it could have, after "could be"."""


def standing_summary(lines: Sequence[StandingLine], settings: Settings) -> tuple[str, ...]:
    """What the standing of one series says, in two or three sentences."""
    if not lines:
        return (say("No valid run yet."),)
    if len(lines) == 1:
        only = lines[0].name.full
        return (say("Only {setup} has been run: there is nothing to compare it with.", setup=only),)
    return (_first(lines), *_cut(lines, settings.top_n))


def setup_summary(label: str, lines: Sequence[StandingLine]) -> str:
    """On which protocols a set-up is in the better half, in the worse one, and in which it may be.

    A half is said only where all places that the runs cannot rule out lie in it.
    """
    name = wording.capitalised(label)
    if not lines:
        return say("{setup}: no valid run yet.", setup=name)
    best_first = sorted(lines, key=lambda line: line.place_key / line.ranked)
    better = [line for line in best_first if 2 * line.place_worst <= line.ranked]
    worse = [line for line in best_first if 2 * line.place_best > line.ranked + 1]
    either = [line for line in best_first if line not in better and line not in worse]
    parts = [
        # For translators: after the name of a set-up and a colon.
        (better, say("in the better half on {protocols}", protocols=_placed(better))),
        # For translators: after the name of a set-up and a colon.
        (worse, say("in the worse half on {protocols}", protocols=_placed(worse))),
        # For translators: after the name of a set-up and a colon.
        (either, say("in which half cannot be told on {protocols}", protocols=_placed(either))),
    ]
    return say(
        "{setup}: {places}.",
        setup=name,
        places="; ".join(words for placed, words in parts if placed),
    )


def _placed(lines: Sequence[StandingLine]) -> str:
    return figures.listing([_place(line) for line in lines])


def _place(line: StandingLine) -> str:
    """A protocol with the place on it, what qualifies that, and a value that is no share."""
    place = say("{place} of {ranked}", place=figures.ordinal(line.place_key), ranked=line.ranked)
    value = () if line.unit == "%" else (figures.with_unit(line.value, line.unit),)
    return f"{line.series_title} ({', '.join((place, *value, *line.marks))})"


def overall_summary(lines: Sequence[PlacedLine], settings: Settings) -> tuple[str, ...]:
    """Who comes first overall, what else it could be, and who is in the top cut."""
    if not lines:
        return ()
    first = say(
        "{setup} comes first by mean, of {setups} run on all that counts; it could be {places}.",
        setup=lines[0].name.full,
        setups=figures.count(len(lines), "set-up", "set-ups"),
        places=lines[0].places_spoken,
    )
    return (first, *_cut(lines, settings.top_n))


def elsewhere_summary(scopes: Sequence[OverallScope]) -> tuple[str, ...]:
    """What the overall says beyond the bench's own floors, and what it does not."""
    sentences = []
    for scope in scopes:
        if scope.interaction_pct is not None:
            size = figures.with_unit(figures.number(scope.interaction_pct, 1), "%")
            sentences.append(
                say(
                    "Set-ups do better on one floor than on another, by {size} (standard "
                    "deviation) beyond what floors have in common. On other floors like these the "
                    "order could therefore be another; “On floors like these” says how far.",
                    size=size,
                )
            )
        if not scope.claims_best:
            sentences.append(_too_few_floors(scope.floors))
    return tuple(sentences)


def _too_few_floors(floors: int) -> str:
    claim = say_count(
        "{count} floor(s), fewer than {least}: no best overall is claimed",
        "{count} floor(s), fewer than {least}: no best overall is claimed",
        floors,
        least=FEWEST_FLOORS,
    )
    return wording.sentence(claim)


def spread_summary(spread: SeriesSpread) -> tuple[str, ...]:
    """What the intervals of a series rest on, and what they leave out."""
    return tuple(part for part in (_scatter(spread), _days(spread), _decided(spread)) if part)


def _scatter(spread: SeriesSpread) -> str:
    if spread.dispersion is not None:
        times = figures.number(spread.dispersion, 2)
        return say(
            "Runs of one set-up vary {times} times as much as by chance alone (variance).",
            times=times,
        )
    least, most = spread.spread_least, spread.spread_most
    if spread.method == BY_LEVEL and least is not None and most is not None:
        return say(
            "How much runs of one set-up scatter goes with the level of its mean: by {least} to "
            "{most} (standard deviations, from one relation shared by all set-ups).",
            least=figures.number(least, spread.decimals + 1),
            most=figures.with_unit(figures.number(most, spread.decimals + 1), spread.unit),
        )
    if spread.spread is not None:
        size = figures.with_unit(figures.number(spread.spread, spread.decimals + 1), spread.unit)
        return say(
            "Runs of one set-up scatter by {size} (standard deviation, shared by all set-ups).",
            size=size,
        )
    return wording.sentence(terms.WHY[spread.why] if spread.why else "")


def _days(spread: SeriesSpread) -> str:
    if spread.day_evidence == "estimated" and spread.day_spread is not None:
        size = figures.with_unit(
            figures.number(spread.day_spread, spread.decimals + 1), spread.unit
        )
        return say(
            "Bench days differ by {size} (standard deviation). Differences between set-ups that "
            "were run on different days carry it.",
            size=size,
        )
    if spread.day_evidence == "with sittings" and spread.day_spread is not None:
        size = figures.with_unit(
            figures.number(spread.day_spread, spread.decimals + 1), spread.unit
        )
        return say(
            "From one day to the next a set-up differs by {size} (standard deviation): what a day "
            "does to all and what it does to one set-up cannot be told apart, and the sum stands "
            "for both.",
            size=size,
        )
    return {
        "one day": say(
            "All runs were made on one day: how much days differ is not in the intervals."
        ),
        "zero": say("Set-ups were run on several days, and no difference between days showed."),
        "unknown": say(
            "No set-up was run on two days: how much days differ cannot be told, and is not in "
            "the intervals."
        ),
    }.get(spread.day_evidence, "")


def _decided(spread: SeriesSpread) -> str:
    """With how many runs nothing would be left that cannot be told."""
    if spread.runs_to_decide is None:
        return ""
    values = {
        "runs": figures.count(spread.runs_to_decide, "run", "runs"),
        "matters": figures.with_unit(
            figures.typed_number(spread.matters), figures.difference_unit(spread.unit)
        ),
    }
    if spread.sitting_spread:
        return say(
            "With about {runs} of each, one an evening, any two would be told apart or called "
            "level (within {matters}), if runs scatter as they did.",
            **values,
        )
    return say(
        "With about {runs} of each any two would be told apart or called level (within {matters}), "
        "if runs scatter as they did.",
        **values,
    )


def _first(lines: Sequence[StandingLine]) -> str:
    first, others = lines[0], lines[1:]
    shapes = Counter(line.relation.shape for line in others)
    worse, level = shapes["worse"], shapes["level"]
    untold = shapes["cannot-tell"] + shapes["first"]
    parts = (
        # For translators: after "Of the others,", where several of these are listed.
        (worse, say_count("{count} is worse", "{count} are worse", worse)),
        # For translators: after "Of the others,", where several of these are listed.
        (level, say_count("{count} is level with it", "{count} are level with it", level)),
        (
            untold,
            # For translators: after "Of the others,", where several of these are listed.
            say_count("{count} cannot be told from it", "{count} cannot be told from it", untold),
        ),
    )
    return say(
        "{setup} comes first by mean. Of the others, {others}.",
        setup=first.name.full,
        others=figures.listing([words for how_many, words in parts if how_many]),
    )


def _cut(lines: Sequence[PlacedLine], top_n: int) -> tuple[str, ...]:
    cut = verdicts.cut_words(top_n)
    certain = [line.name.full for line in lines if line.top.shape == "in"]
    possible = [line.name.full for line in lines if line.top.shape == "perhaps"]
    sentences = [
        say("The runs tell that these are in {cut}: {setups}.", cut=cut, setups=_named(certain))
        if certain
        else say("No set-up is shown to be in {cut}.", cut=cut)
    ]
    if possible:
        # For translators: "it" is the top cut, such as the top 3, of the sentence before.
        sentences.append(say("Not ruled out of it: {setups}.", setups=_named(possible)))
    return tuple(sentences)


def _named(setups: Sequence[str]) -> str:
    """The set-ups by name, or how many there are of them."""
    if len(setups) > MOST_NAMES:
        return figures.count(len(setups), "set-up", "set-ups")
    return "; ".join(setups)
