"""How the set-ups of one series stand towards each other, as columns.

In:  the store's table ``comparisons``, one row an ordered pair.
Out: ``Comparisons``: matrices in the order of the standing, and single pairs of them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, NamedTuple, TypeVar

import numpy as np
from numpy.typing import NDArray

from trialpress.store import Store, read_sql

Number = TypeVar("Number", np.float64, np.int8)


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


RELATIONS = ("better", "level", "cannot tell", "worse")
VERDICTS = (
    *(PairVerdict(relation, is_small, "") for relation in RELATIONS for is_small in (False, True)),
    *(PairVerdict("cannot tell", False, side) for side in ("better", "either", "worse")),
)
"""Every verdict on a pair of set-ups: whether the difference found is too small to matter; last, of
those that cannot be told apart, on which side one that matters is left open."""
UNKNOWN = -1


@dataclass(frozen=True)
class Comparisons:
    """All ordered pairs of a series: row i, column j is the i-th set-up towards the j-th.

    ``difference``, ``low`` and ``high`` are NaN where there is no such pair or interval;
    ``verdict`` is the position in ``VERDICTS``, a byte a pair, and then ``UNKNOWN``.
    """

    setups: Sequence[str]
    difference: NDArray[np.float64]
    low: NDArray[np.float64]
    high: NDArray[np.float64]
    verdict: NDArray[np.int8]

    @cached_property
    def position(self) -> Mapping[str, int]:
        """Where each set-up stands, from 0."""
        return {setup: index for index, setup in enumerate(self.setups)}

    def of(self, setup: str) -> Iterator[Comparison]:
        """One set-up towards each other one, in the order of the standing."""
        return (self.between(setup, other) for other in self.setups if other != setup)

    def by_verdict(self, setup: str) -> Mapping[PairVerdict, Sequence[str]]:
        """The other set-ups by how this one stands towards them, in the order of the standing."""
        row = self.verdict[self.position[setup]]
        return {
            VERDICTS[number]: [self.setups[at] for at in np.flatnonzero(row == number).tolist()]
            for number in np.unique(row[row != UNKNOWN])
        }

    def between(self, setup: str, other: str) -> Comparison:
        """One set-up towards another of the same series."""
        at = self.position[setup], self.position[other]
        number = self.verdict[at]
        verdict = PairVerdict("", False, "") if number == UNKNOWN else VERDICTS[number]
        return Comparison(
            setup=setup,
            other=other,
            difference=float(self.difference[at]),
            low=_known(self.low[at]),
            high=_known(self.high[at]),
            relation=verdict.relation,
            by_less_than_matters=verdict.is_by_less_than_matters,
            could_matter=verdict.could_matter,
        )


def read_comparisons(store: Store, series: tuple[str, int]) -> Comparisons:
    """Read the pairs of one series."""
    sql = read_sql("trialpress.view", "queries/comparisons.sql")
    columns: dict[str, Any] = store.connection.execute(sql, list(series)).fetchnumpy()
    ranked = "select setup from standings where protocol = $1 and version = $2 order by position"
    setups = [setup for (setup,) in store.connection.execute(ranked, list(series)).fetchall()]
    at = columns["at"], columns["other_at"]
    shape = len(setups), len(setups)

    def matrix(values: NDArray[Number], missing: float) -> NDArray[Number]:
        filled = np.full(shape, missing, dtype=values.dtype)
        filled[at] = values
        return filled

    difference, low, high = (
        np.ma.filled(columns[name], np.nan) for name in ("difference", "low", "high")
    )
    rule = "select matters, better from series where protocol = $1 and version = $2"
    ((matters, better),) = store.connection.execute(rule, list(series)).fetchall()
    sides = could_matter(low, high, float(matters), better)
    numbers = _numbers(columns["relation"], columns["by_less_than_matters"], sides)
    return Comparisons(
        setups=setups,
        difference=matrix(difference, np.nan),
        low=matrix(low, np.nan),
        high=matrix(high, np.nan),
        verdict=matrix(numbers, UNKNOWN),
    )


def _numbers(
    relation: NDArray[np.object_], is_small: NDArray[np.bool_], sides: NDArray[np.str_]
) -> NDArray[np.int8]:
    """The position of each pair's verdict; only what cannot be told leaves a side open."""
    numbers = np.full(relation.shape, UNKNOWN, dtype=np.int8)
    for number, verdict in enumerate(VERDICTS):
        is_of = (relation == verdict.relation) & (is_small == verdict.is_by_less_than_matters)
        if verdict.relation == "cannot tell":
            is_of &= sides == verdict.could_matter
        numbers[is_of] = number
    return numbers


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
