"""Words that a tester may meet here for the first time, each in one plain sentence.

In:  a text of the commands, of a finding or of the bench sheet.
Out: the words in it that want explaining, once each, in the order of the alphabet.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache

WORDS: Mapping[str, str] = {
    "as_of": "the date a bench is seen as of: what is later or under embargo is not there yet.",
    "clean_limit": "the worst grade that still counts as clean, from 0 clean to 4 heavily soiled.",
    "continues": "true where results of a new version of a protocol can be compared with those of "
    "the one before.",
    "cut": "the first places of a standing, top_n of them.",
    "dose": "the mass of soil that is spread for one run.",
    "dose_by": "how the dose was had: reading (one reading of a tared balance, also where it is "
    "blank) or difference (two readings subtracted).",
    "embargo": "a set-up with a date in publish_on is shown nowhere before that date.",
    "level": "two set-ups so close that whatever difference is left does not matter.",
    "matters": "the smallest difference worth telling, in the unit of the result.",
    "over-recovered": "more came back than was spread, by more than the balances explain.",
    "planned": "of a run: still to be made, so it has no readings and counts nowhere.",
    "protocol": "how a run is made: floor, soil, dose, passes and what is read; it has versions.",
    "reference": "the machine that is run again and again to watch the bench itself.",
    "replicate": "the number of a run within its set-up and protocol version.",
    "run": "one dose, one cleaning, one reading.",
    "series": "the versions of a protocol whose results can be compared.",
    "set-up": "one machine as it is run: brushes, mode, pattern, firmware. It gets the result.",
    "soil": "what is spread: dust, sand, hair, crumbs.",
    "specimen": "the one unit of a machine that was tested.",
    "standing": "a set-up's place in a series, with how sure it is.",
    "stock": "true where the set-up is as it came out of the box.",
    "void": "of a run: made, but it does not count; reason says why.",
}


def explained(text: str) -> tuple[tuple[str, str], ...]:
    """The words of a text that want explaining, each with its sentence.

    Parameters
    ----------
    text : str
        Anything a tester reads: words in the plural, and columns such as ``as-of``, count too.
    """
    found = {match[0].lower().replace("as-of", "as_of") for match in _pattern().finditer(text)}
    singular = {word if word in WORDS else word.removesuffix("s") for word in found}
    return tuple((word, WORDS[word]) for word in sorted(singular))


def glossary_lines(text: str) -> tuple[str, ...]:
    """The same as lines, such as ``soil: what is spread: dust, sand, hair, crumbs.``."""
    return tuple(f"{word}: {sentence}" for word, sentence in explained(text))


@cache
def _pattern() -> re.Pattern[str]:
    longest_first = sorted([*WORDS, "as-of"], key=len, reverse=True)
    words = "|".join(re.escape(word) for word in longest_first)
    return re.compile(rf"(?<![\w-])(?:{words})s?(?![\w-])", re.IGNORECASE)
