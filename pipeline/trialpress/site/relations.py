"""How the set-ups of one series stand towards each other, small enough to be sent whole.

In:  the comparisons of one series.
Out: what a script needs to measure every set-up against any other one, and the difference between
     two set-ups in words.
"""

from __future__ import annotations

from collections.abc import Sequence

from trialpress.charts.chart import Json
from trialpress.sentences.cuts import PHRASES
from trialpress.site import result_rows, rows, urls, verdicts
from trialpress.site.data_scripts import DataScript
from trialpress.site.facts import Facts
from trialpress.site.names import series_name
from trialpress.words import figures, say
from trialpress.words.figures import difference_unit

KINDS = tuple(
    (relation, is_small)
    for relation in ("better", "level", "cannot tell", "worse")
    for is_small in (False, True)
)
"""Every verdict on a pair of set-ups, and whether the difference is surely too small to matter."""
OPPOSITE = {"better": "worse", "worse": "better"}


def relations_name(series: rows.Protocol) -> str:
    """What the data of one series are called."""
    return urls.standing_url(series).replace("standings/", "relations/").removesuffix(".html")


def relations_script(facts: Facts, series: rows.Protocol) -> DataScript:
    """All pairs of a series, each once: difference, both ends of its interval and the verdict.

    Differences are whole numbers of the last published digit, four numbers a pair, in the order
    1-2, 1-3 … 2-3 of the standing. The other direction has the opposite signs and verdict.
    """
    key = (series.protocol, series.version)
    standing = facts.standings_of.get(key, ())
    decimals = standing[0].decimals if standing else 0
    position = {row.setup: index for index, row in enumerate(standing)}
    pairs: list[Json] = [
        number
        for row in standing
        for pair in facts.comparisons_of.get((key, row.setup), ())
        if position[pair.other] > position[row.setup]
        for number in _numbers(pair, decimals)
    ]
    said = [verdicts.relation(kind, is_by_less_than_matters=small) for kind, small in KINDS]
    return DataScript(
        relations_name(series),
        {
            "setups": list(position),
            "decimals": decimals,
            "verdicts": [[one.shape, one.words] for one in said],
            "opposites": [KINDS.index((OPPOSITE.get(kind, kind), small)) for kind, small in KINDS],
            "pairs": pairs,
            "cut": _cut(series),
        },
    )


def _cut(series: rows.Protocol) -> Json:
    """What a script needs to cut the standing after any place, and to say so."""
    tops = {top: verdicts.top_cut(top) for top in ("certain", "possible", "out")}
    verdict: dict[str, Json] = {top: [said.shape, said.words] for top, said in tops.items()}
    return {
        "title": series_name(series),
        "unit": series.unit,
        "differenceUnit": difference_unit(series.unit),
        "isHigherBetter": series.better == "higher",
        "verdicts": verdict,
        "phrases": {name: say(text) for name, text in PHRASES.items()},
    }


def difference_words(pair: result_rows.Comparison, decimals: int) -> str:
    """A difference with its interval: ``+1.2 (0.3 to 2.1)``."""
    difference = figures.signed(pair.difference, decimals)
    if pair.low is None or pair.high is None:
        return difference
    return f"{difference} ({figures.interval(pair.low, pair.high, decimals)})"


def _numbers(pair: result_rows.Comparison, decimals: int) -> Sequence[int | None]:
    return (
        _last_digits(pair.difference, decimals),
        _last_digits(pair.low, decimals),
        _last_digits(pair.high, decimals),
        KINDS.index((pair.relation, pair.by_less_than_matters)),
    )


def _last_digits(value: float | None, decimals: int) -> int | None:
    return None if value is None else round(value * 10**decimals)
