"""Rankings worked out once a process: for the standings, for earlier dates and for explanations.

In:  the cells of a series and its rules.
Out: its ``Ranking``; the same one again while no run, correction or rule of the series differs.
"""

from __future__ import annotations

import hashlib
from collections import OrderedDict
from collections.abc import Sequence

from trialpress.results.cells import Cell
from trialpress.results.ranking import Ranking, Rules, rank

MOST_PAIRS = 20_000_000
"""Pairs of set-ups in all rankings that are kept: each takes three numbers of eight bytes."""

_kept: OrderedDict[bytes, Ranking] = OrderedDict()


def ranked(cells: Sequence[Cell], rules: Rules) -> Ranking:
    """What ``rank`` gives, from memory where it was asked for the same before."""
    key = digest_of(cells, rules)
    if key in _kept:
        _kept.move_to_end(key)
        return _kept[key]
    _kept[key] = ranking = rank(cells, rules)
    while len(_kept) > 1 and sum(len(one.cells) ** 2 for one in _kept.values()) > MOST_PAIRS:
        _kept.popitem(last=False)
    return ranking


def digest_of(cells: Sequence[Cell], rules: Rules) -> bytes:
    """A hash of everything that a ranking depends on."""
    digest = hashlib.blake2b(repr(rules).encode(), digest_size=16)
    for cell in cells:
        digest.update(f"\n{len(cell.setup)} {cell.setup} {cell.n}".encode())
        for column in (cell.values, cell.u_value, cell.u_shared, cell.days, cell.tries):
            digest.update(column.tobytes())
    return digest.digest()
