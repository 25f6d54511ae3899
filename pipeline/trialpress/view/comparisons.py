"""How the set-ups of one series stand towards each other, as columns.

In:  the store's table ``comparisons``, one row an ordered pair.
Out: ``Comparisons``: matrices in the order of the standing, and single pairs of them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from trialpress.store import Store, read_sql


@dataclass(frozen=True)
class Comparison:
    """How one set-up stands towards another; figures in the protocol's unit, set-up minus other."""

    setup: str
    other: str
    difference: float
    low: float | None
    high: float | None
    relation: str
    by_less_than_matters: bool
    could_matter: str


class PairVerdict(NamedTuple):
    """What is told of one set-up towards another, as in ``Comparison``."""

    relation: str
    is_by_less_than_matters: bool
    could_matter: str


@dataclass(frozen=True)
class Comparisons:
    """All ordered pairs of a series: row i, column j is the i-th set-up towards the j-th.

    ``difference``, ``low`` and ``high`` are NaN where there is no such pair or interval, and
    ``relation`` is then empty. ``could_matter`` is what the function of that name says of the pairs
    that cannot be told apart, and empty for the others.
    """

    setups: Sequence[str]
    difference: NDArray[np.float64]
    low: NDArray[np.float64]
    high: NDArray[np.float64]
    relation: NDArray[np.str_]
    is_by_less_than_matters: NDArray[np.bool_]
    could_matter: NDArray[np.str_]

    @cached_property
    def position(self) -> Mapping[str, int]:
        """Where each set-up stands, from 0."""
        return {setup: index for index, setup in enumerate(self.setups)}

    def of(self, setup: str) -> Iterator[Comparison]:
        """One set-up towards each other one, in the order of the standing."""
        return (self.between(setup, other) for other in self.setups if other != setup)

    def by_verdict(self, setup: str) -> Mapping[PairVerdict, Sequence[str]]:
        """The other set-ups by how this one stands towards them, in the order of the standing."""
        at = self.position[setup]
        columns = self.relation[at], self.is_by_less_than_matters[at], self.could_matter[at]
        others: dict[PairVerdict, list[str]] = {}
        for other, *verdict in zip(self.setups, *(c.tolist() for c in columns), strict=True):
            if other != setup:
                others.setdefault(PairVerdict(*verdict), []).append(other)
        return others

    def between(self, setup: str, other: str) -> Comparison:
        """One set-up towards another of the same series."""
        at = self.position[setup], self.position[other]
        return Comparison(
            setup=setup,
            other=other,
            difference=float(self.difference[at]),
            low=_known(self.low[at]),
            high=_known(self.high[at]),
            relation=str(self.relation[at]),
            by_less_than_matters=bool(self.is_by_less_than_matters[at]),
            could_matter=str(self.could_matter[at]),
        )


def read_comparisons(store: Store, series: tuple[str, int]) -> Comparisons:
    """Read the pairs of one series."""
    sql = read_sql("trialpress.view", "queries/comparisons.sql")
    columns = store.connection.execute(sql, list(series)).fetchnumpy()
    ranked = "select setup from standings where protocol = $1 and version = $2 order by position"
    setups = [setup for (setup,) in store.connection.execute(ranked, list(series)).fetchall()]
    at = columns["at"], columns["other_at"]
    shape = len(setups), len(setups)

    def matrix(name: str) -> NDArray[np.float64]:
        filled = np.full(shape, np.nan)
        filled[at] = np.ma.filled(columns[name], np.nan)
        return filled

    relation = np.full(shape, "", dtype="U16")
    relation[at] = columns["relation"]
    is_small = np.zeros(shape, dtype=bool)
    is_small[at] = columns["by_less_than_matters"]
    low, high = matrix("low"), matrix("high")
    rule = "select matters, better from series where protocol = $1 and version = $2"
    ((matters, better),) = store.connection.execute(rule, list(series)).fetchall()
    sides = could_matter(low, high, float(matters), better)
    return Comparisons(
        setups=setups,
        difference=matrix("difference"),
        low=low,
        high=high,
        relation=relation,
        is_by_less_than_matters=is_small,
        could_matter=np.where(relation == "cannot tell", sides, ""),
    )


def could_matter(
    low: NDArray[np.float64], high: NDArray[np.float64], matters: float, better: str
) -> NDArray[np.str_]:
    """Which differences that matter an interval leaves open: ``better``, ``worse`` or ``either``.

    Parameters
    ----------
    low, high : ndarray, any one shape
        Ends of intervals of a set-up's value minus another's; NaN where there is none.
    matters : float
        The smallest difference worth telling, in the same unit.
    better : str
        ``higher`` or ``lower``.

    Returns
    -------
    ndarray of str, of that shape
        Empty where no difference that matters is left open, or nothing is known.
    """
    above, below = high > matters, low < -matters
    is_better, is_worse = (above, below) if better == "higher" else (below, above)
    one = np.where(is_better, "better", np.where(is_worse, "worse", ""))
    return np.asarray(np.where(is_better & is_worse, "either", one))


def _known(value: np.float64) -> float | None:
    return None if np.isnan(value) else float(value)
