"""The few sentences that say what standings show, and what they do not.

In:  the lines of a standing, or of one set-up in several.
Out: sentences. They follow ``top`` and ``relation`` as decided in results, never a chance.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from trialpress.bench import Settings
from trialpress.site import verdicts, wording
from trialpress.site.pages.lines import StandingLine
from trialpress.site.result_rows import OverallScope, Spread
from trialpress.words import figures

MOST_NAMES = 4


def standing_summary(lines: Sequence[StandingLine], settings: Settings) -> tuple[str, ...]:
    """What the standing of one series says, in two or three sentences."""
    if not lines:
        return ("No valid run yet.",)
    if len(lines) == 1:
        return (f"Only {lines[0].name.full} has been run: there is nothing to compare it with.",)
    return (_first(lines), *_cut(lines, settings.top_n))


def setup_summary(label: str, lines: Sequence[StandingLine], settings: Settings) -> str:
    """How often one set-up is in the top cut for certain, and how often it may be."""
    if not lines:
        return f"{wording.capitalised(label)}: no valid run yet."
    cut, series = verdicts.cut_words(settings.top_n), len(lines)
    shapes = Counter(line.top.shape for line in lines)
    certain, possible = shapes["in"], shapes["perhaps"]
    in_series = f"of {figures.count(series, 'current protocol', 'current protocols')}"
    return (
        f"{wording.capitalised(label)}: certain to be in {cut} in {certain or 'none'} {in_series}, "
        f"not ruled out in {possible or 'none'}."
    )


def elsewhere_summary(scopes: Sequence[OverallScope]) -> tuple[str, ...]:
    """What the overall says beyond the bench's own floors, and what it does not."""
    told = []
    for scope in scopes:
        if scope.interaction_pct is not None:
            size = figures.with_unit(figures.number(scope.interaction_pct, 1), "%")
            told.append(
                f"Set-ups do better on one floor than on another, by {size} (standard deviation) "
                "beyond what floors have in common. On other floors like these the order could "
                "therefore be another; “On floors like these” says how far."
            )
        if not scope.claims_best and scope.why:
            told.append(wording.sentence(scope.why))
    return tuple(told)


def spread_summary(spread: Spread) -> tuple[str, ...]:
    """What the intervals of a series rest on, and what they leave out."""
    return tuple(part for part in (_scatter(spread), _days(spread)) if part)


def _scatter(spread: Spread) -> str:
    if spread.dispersion is not None:
        times = figures.number(spread.dispersion, 2)
        return f"Runs of one set-up vary {times} times as much as by chance alone (variance)."
    if spread.spread is not None:
        size = figures.with_unit(figures.number(spread.spread, spread.decimals + 1), spread.unit)
        return f"Runs of one set-up scatter by {size} (standard deviation, shared by all set-ups)."
    return wording.sentence(spread.why or "")


def _days(spread: Spread) -> str:
    if spread.day_evidence == "estimated" and spread.day_spread is not None:
        size = figures.with_unit(
            figures.number(spread.day_spread, spread.decimals + 1), spread.unit
        )
        return (
            f"Bench days differ by {size} (standard deviation). Differences between set-ups that "
            "were run on different days carry it."
        )
    return {
        "one day": "All runs were made on one day: how much days differ is not in the intervals.",
        "zero": "Set-ups were run on several days, and no difference between days showed.",
        "unknown": (
            "No set-up was run on two days: how much days differ cannot be told, and is not in "
            "the intervals."
        ),
    }.get(spread.day_evidence, "")


def _first(lines: Sequence[StandingLine]) -> str:
    first, others = lines[0], lines[1:]
    shapes = Counter(line.relation.shape for line in others)
    told = (
        (shapes["worse"], "worse"),
        (shapes["level"], "level with it"),
        (shapes["cannot-tell"] + shapes["first"], "cannot be told from it"),
    )
    parts = [_part(how_many, words) for how_many, words in told if how_many]
    return f"{first.name.full} comes first by mean. Of the others, {figures.listing(parts)}."


def _part(how_many: int, words: str) -> str:
    if words.startswith("cannot"):
        return f"{how_many} {words}"
    return f"{how_many} {'is' if how_many == 1 else 'are'} {words}"


def _cut(lines: Sequence[StandingLine], top_n: int) -> tuple[str, ...]:
    cut = verdicts.cut_words(top_n)
    certain = [line.name.full for line in lines if line.top.shape == "in"]
    possible = [line.name.full for line in lines if line.top.shape == "perhaps"]
    return (
        _sentence(certain, f"Certain to be in {cut}", f"No set-up is certain to be in {cut}."),
        *([_sentence(possible, "Not ruled out of it", "")] if possible else []),
    )


def _sentence(names: Sequence[str], opening: str, otherwise: str) -> str:
    if not names:
        return otherwise
    if len(names) > MOST_NAMES:
        return f"{opening}: {figures.count(len(names), 'set-up', 'set-ups')}."
    separated = "; ".join(names)
    return f"{opening}: {separated}."
