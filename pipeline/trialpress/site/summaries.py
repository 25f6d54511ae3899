"""The few sentences that say what a standing shows, and what it does not.

In:  the lines of a standing.
Out: sentences. They follow ``top`` and ``relation`` as decided in results, never a chance.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from trialpress.bench import Settings
from trialpress.site import verdicts, wording
from trialpress.site.pages.lines import StandingLine

MOST_NAMES = 4


def standing_summary(lines: Sequence[StandingLine], settings: Settings) -> tuple[str, ...]:
    """What the standing of one series says, in two or three sentences."""
    if not lines:
        return ("No valid run yet.",)
    if len(lines) == 1:
        return (f"Only {lines[0].name.full} has been run: there is nothing to compare it with.",)
    return (_first(lines), *_cut(lines, settings.top_n))


def _first(lines: Sequence[StandingLine]) -> str:
    first, others = lines[0], lines[1:]
    shapes = Counter(line.relation.shape for line in others)
    told = (
        (shapes["worse"], "worse"),
        (shapes["level"], "level with it"),
        (shapes["cannot-tell"] + shapes["first"], "cannot be told from it"),
    )
    parts = [_part(how_many, words) for how_many, words in told if how_many]
    return f"{first.name.full} comes first by mean. Of the others, {wording.listing(parts)}."


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
        return f"{opening}: {wording.count(len(names), 'set-up')}."
    separated = "; ".join(names)
    return f"{opening}: {separated}."
