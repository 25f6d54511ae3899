"""Rankings worked out once a process: for the standings, for earlier dates and for explanations.

In:  the cells of a series and its rules; for the overall, the rankings of all series.
Out: a ``Ranking``, or ``OverallTables``; the same again while no run, correction or rule differs.
"""

from __future__ import annotations

import hashlib
from collections import OrderedDict
from collections.abc import Mapping, Sequence

from trialpress.results.cells import Cell
from trialpress.results.overall import OverallBy
from trialpress.results.overall_parts import Worked
from trialpress.results.overall_standing import OverallTables, rank_overall
from trialpress.results.publishing import RankedSetup
from trialpress.results.ranking import Ranking, Rules, rank

MOST_PAIRS = 20_000_000
"""Pairs of set-ups in all rankings that are kept: each takes three numbers of eight bytes."""

MOST_OVERALLS = 8

_kept: OrderedDict[bytes, Ranking] = OrderedDict()
_overalls: OrderedDict[bytes, OverallTables] = OrderedDict()


def ranked(cells: Sequence[Cell], rules: Rules) -> Ranking:
    """What ``rank`` gives, from memory where it was asked for the same before."""
    key = digest_of(cells, rules)
    if key in _kept:
        _kept.move_to_end(key)
        return _kept[key]
    _kept[key] = ranking = rank(cells, rules)
    while len(_kept) > 1 and sum(len(kept.cells) ** 2 for kept in _kept.values()) > MOST_PAIRS:
        _kept.popitem(last=False)
    return ranking


def overall_ranked(
    worked: Sequence[Worked],
    rules: Rules,
    names: Mapping[str, RankedSetup],
    ranks: OverallBy,
    *,
    has_chance: bool = True,
) -> OverallTables:
    """What ``rank_overall`` gives, from memory where it was asked for the same before."""
    digest = hashlib.blake2b(repr((rules, ranks, has_chance)).encode(), digest_size=16)
    for series, ranking in worked:
        if series.weight > 0:
            named = [names[cell.setup] for cell in ranking.cells]
            digest.update(repr((series, named)).encode() + digest_of(ranking.cells, rules))
    key = digest.digest()
    if key not in _overalls:
        _overalls[key] = rank_overall(worked, rules, names, ranks, has_chance=has_chance)
        if len(_overalls) > MOST_OVERALLS:
            _overalls.popitem(last=False)
    return _overalls[key]


def digest_of(cells: Sequence[Cell], rules: Rules) -> bytes:
    """A hash of everything that a ranking depends on."""
    digest = hashlib.blake2b(repr(rules).encode(), digest_size=16)
    for cell in cells:
        digest.update(f"\n{len(cell.setup)} {cell.setup} {cell.n}".encode())
        for column in (cell.values, cell.u_value, cell.u_shared, cell.days, cell.tries):
            digest.update(column.tobytes())
    return digest.digest()
