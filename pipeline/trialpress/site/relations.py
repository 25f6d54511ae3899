"""How the set-ups of one series stand towards each other, small enough to be sent whole.

In:  the comparisons of one series.
Out: what scripts need to measure every set-up against any other one, and to make a standing of any
     of them; the difference between two set-ups in words.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from trialpress.charts.chart import Json
from trialpress.site import urls
from trialpress.site.data_scripts import DataScript
from trialpress.view import SeriesKey, View, typed, verdicts
from trialpress.view.comparisons import (
    UNKNOWN,
    VERDICTS,
    Comparison,
    Comparisons,
    PairVerdict,
)
from trialpress.view.sentences.cuts import MOST_NAMED, PHRASES
from trialpress.words import figures, say
from trialpress.words.figures import difference_unit

OPPOSITE = {"better": "worse", "worse": "better"}
OVERALL_VERDICTS = "verdicts/overall"


def series_name(series: typed.Protocol) -> str:
    """What one series is called in data."""
    return urls.standing_url(series).removeprefix("standings/").removesuffix(".html")


def verdicts_name(series: typed.Protocol) -> str:
    """What the verdicts of one series are called."""
    return f"verdicts/{series_name(series)}"


def verdicts_script(view: View, series: typed.Protocol) -> DataScript:
    """What makes a standing of any set-ups of a series: the verdicts on all pairs, and phrases.

    ``kinds`` has a row a set-up, in the order of the standing, on those below it: a kind of verdict
    and how many in a row have it, in turns. That is short, as those far below are all worse.
    """
    key = (series.protocol, series.version)
    standing, pairs = view.standings_of.get(key, ()), view.comparisons(key)
    return DataScript(
        verdicts_name(series),
        {
            "setups": list(pairs.setups),
            "decimals": standing[0].decimals if standing else 0,
            "opposites": _opposites(),
            "kinds": [_in_a_row(kinds) for kinds in _kinds(pairs)],
            "cut": _cut(series),
        },
    )


def overall_script(view: View) -> DataScript:
    """The same of the overall that ranks, where nothing is level."""
    standing, is_better = view.overall, view.overall_better
    better, untold, worse = (_number(kind) for kind in ("better", "cannot tell", "worse"))
    kinds = np.where(is_better, better, np.where(is_better.T, worse, untold))
    return DataScript(
        OVERALL_VERDICTS,
        {
            "setups": [row.setup for row in standing],
            "decimals": standing[0].decimals if standing else 0,
            "opposites": _opposites(),
            "kinds": [_in_a_row(row[i + 1 :].tolist()) for i, row in enumerate(kinds)],
            "cut": {"isHigherBetter": True, "verdicts": _cut_verdicts()},
        },
    )


def _opposites() -> list[Json]:
    return [
        VERDICTS.index(PairVerdict(OPPOSITE.get(kind, kind), small, OPPOSITE.get(side, side)))
        for kind, small, side in VERDICTS
    ]


def _number(relation: str) -> int:
    """The verdict by itself: whatever it is by, whatever it leaves open."""
    return VERDICTS.index(PairVerdict(relation, is_by_less_than_matters=False, could_matter=""))


def _kinds(pairs: Comparisons) -> Iterator[list[int]]:
    """Of each set-up towards every one below it, the kind of verdict, but for what is left open."""
    leaves_open = [bool(verdict.could_matter) for verdict in VERDICTS]
    kinds = np.where(leaves_open, _number("cannot tell"), np.arange(len(VERDICTS)))
    for i in range(len(pairs.setups)):
        yield kinds[pairs.verdict[i, i + 1 :]].tolist()


def _in_a_row(kinds: Sequence[int]) -> list[Json]:
    return [number for kind, same in groupby(kinds) for number in (kind, len(list(same)))]


def relations_scripts(view: View) -> Iterator[DataScript]:
    """Of each set-up how all others stand towards it, in every series it is in; a file a set-up.

    ``pairs`` has four whole numbers of each set-up of the series, in the order of the standing: the
    difference and both ends of its interval, in the last published digit, and the kind of verdict.
    """
    forms = [
        verdicts.relation(kind, is_by_less_than_matters=small, could_matter=side)
        for kind, small, side in VERDICTS
    ]
    words: list[Json] = [[one.shape, one.words] for one in forms]
    all_pairs = {key: (view.comparisons(key), _numbers(view, key)) for key in view.standings_of}
    for setup in view.setups:
        towards: dict[str, Json] = {
            series_name(view.series[key]): {
                "decimals": view.standings_of[key][0].decimals,
                "pairs": _known(numbers[:, pairs.position[setup.setup]]),
            }
            for key, (pairs, numbers) in all_pairs.items()
            if setup.setup in pairs.position
        }
        yield DataScript(f"relations/{setup.setup}", {"verdicts": words, "series": towards})


def _cut(series: typed.Protocol) -> Json:
    """What a script needs to cut the standing after any place, and to say so."""
    return {
        "title": series.name.full,
        "unit": series.unit,
        "differenceUnit": difference_unit(series.unit),
        "isHigherBetter": series.better == "higher",
        "verdicts": _cut_verdicts(),
        "mostNamed": MOST_NAMED,
        "phrases": {name: say(text) for name, text in PHRASES.items()},
    }


def _cut_verdicts() -> Json:
    tops = {top: verdicts.top_cut(top) for top in ("certain", "possible", "out")}
    return {top: [form.shape, form.words] for top, form in tops.items()}


def difference_words(pair: Comparison, decimals: int) -> str:
    """A difference with its interval: ``+1.2 (0.3 to 2.1)``."""
    difference = figures.signed(pair.difference, decimals)
    if pair.low is None or pair.high is None:
        return difference
    return f"{difference} ({figures.interval(pair.low, pair.high, decimals)})"


MISSING = np.iinfo(np.int32).min


def _numbers(view: View, series: SeriesKey) -> NDArray[np.int32]:
    """Four whole numbers of every ordered pair; ``MISSING`` where nothing is known."""
    pairs, scale = view.comparisons(series), 10 ** view.standings_of[series][0].decimals
    ends = (pairs.difference, pairs.low, pairs.high)
    columns = [np.where(np.isnan(end), MISSING, np.rint(end * scale)) for end in ends]
    verdict = pairs.verdict.astype(np.int32)
    verdict[verdict == UNKNOWN] = MISSING
    return np.stack([*columns, verdict], axis=-1).astype(np.int32)


def _known(numbers: NDArray[np.int32]) -> list[Json]:
    return [None if number == MISSING else number for number in numbers.ravel().tolist()]
