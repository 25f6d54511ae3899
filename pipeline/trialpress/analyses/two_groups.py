"""One group of machines against others of the same kinds, where machines are the unit.

In:  values, kinds and who belongs to the group; arrays.
Out: the shift with its interval, and the p value of van Elteren's test.

The chances come from reshuffling machines within kinds: of all ways where there are few, else of a
seeded sample that all groups of a series share.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, reduce
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from trialpress.analyses.ranks import Estimate, Floats, Integers, rank_scores

MOST_WAYS = 9999
NEARLY = 1e-9
"""Sums of scores closer than this are equal but for rounding."""
SEED = 20310303
Group = NDArray[np.bool_]


@dataclass(frozen=True)
class Shift:
    """A shift, with the p value of there being none."""

    shift: Estimate
    p: float


@dataclass(frozen=True)
class MachineField:
    """All machines of a series: values in its unit and kinds numbered from 0, shapes (n,)."""

    values: Floats
    strata: Integers

    @cached_property
    def scores(self) -> Floats:
        """Rank scores within kinds."""
        return rank_scores(self.values, self.strata)

    @cached_property
    def untied(self) -> Floats:
        """Scores where equal values count as different, as they are once a group is shifted."""
        order = np.argsort(np.argsort(self.values, kind="stable"), kind="stable")
        return rank_scores(order.astype(np.float64), self.strata)

    @cached_property
    def reshuffled(self) -> Integers:
        """A sample of the machines reshuffled within kinds, as seen first: (ways, n)."""
        generator = np.random.default_rng(SEED)
        ways = np.tile(np.arange(len(self.values)), (MOST_WAYS + 1, 1))
        for stratum in np.unique(self.strata):
            here = np.flatnonzero(self.strata == stratum)
            ways[1:, here] = generator.permuted(ways[1:, here], axis=1)
        return ways


def against_others(group: Group, field: MachineField, confidence: float) -> Shift:
    """Set a group against the others of its kinds.

    Parameters
    ----------
    group : ndarray of bool, shape (n,)
        Who belongs to it; some kind has a machine inside and one outside.
    field : MachineField
        All machines.
    confidence : float
        Between 0 and 1.

    Returns
    -------
    Shift
        ``group`` less others, in the unit of the values.

    Notes
    -----
    Test: van Elteren, Bull. Int. Stat. Inst. 37 (1960) 351. Shift: the median of all differences
    within kinds, which weigh as the test weighs them. Its ends are the differences at which the
    test begins to refuse, as Hollander, Wolfe and Chicken, Nonparametric Statistical Methods, 4.3,
    have it for one stratum.
    """
    differences, weights = _differences(group, field)
    ways = _ways(group, field)
    seen = abs(float(np.sum(field.scores[group])))
    p = float(np.mean(np.abs(_sums(field.scores, ways)) >= seen - NEARLY))
    return Shift(_shift(differences, weights, _sums(field.untied, ways), confidence), p)


def shift_over_all(group: Group, field: MachineField) -> float:
    """The median of all differences whatever the kinds (Hodges and Lehmann)."""
    return float(np.median(np.subtract.outer(field.values[group], field.values[~group])))


def _differences(group: Group, field: MachineField) -> tuple[Floats, Floats]:
    """All differences within kinds in order, and what each weighs in the test."""
    found, weights = [], []
    for stratum in np.unique(field.strata):
        here = field.strata == stratum
        apart = np.subtract.outer(field.values[here & group], field.values[here & ~group]).ravel()
        found.append(apart)
        weights.append(np.full(len(apart), 1 / (int(np.sum(here)) + 1)))
    differences, weight = np.concatenate(found), np.concatenate(weights)
    order = np.argsort(differences, kind="stable")
    return differences[order], weight[order]


def _shift(differences: Floats, weights: Floats, sums: Floats, confidence: float) -> Estimate:
    """Weighted median of the differences, and those at which the test begins to refuse."""
    from_below, from_above = np.cumsum(weights), np.cumsum(weights[::-1])
    half = float(from_below[-1]) / 2
    downwards = differences[::-1]
    median = (
        differences[np.searchsorted(from_below, half - NEARLY)]
        + downwards[np.searchsorted(from_above, half - NEARLY)]
    ) / 2
    # A sum of scores is the weight of the differences above 0, less half the weight of all.
    ordered = np.sort(sums)
    in_tail = math.floor((1 - confidence) / 2 * len(ordered) + NEARLY)
    refused = int(np.searchsorted(ordered, ordered[in_tail] - NEARLY))
    if refused == 0:
        return Estimate(float(median), None, None)
    beyond = float(ordered[refused - 1]) + half + NEARLY
    low = differences[np.searchsorted(from_below, beyond, side="right")]
    high = downwards[np.searchsorted(from_above, beyond, side="right")]
    return Estimate(float(median), float(low), float(high))


def _ways(group: Group, field: MachineField) -> Sequence[Integers]:
    """Who may be in the group of each kind, all ways or a sample; one array (ways, own) a kind.

    Where all are listed, every way of one kind goes with every way of another.
    """
    parts = [np.flatnonzero(field.strata == stratum) for stratum in np.unique(field.strata[group])]
    own = [int(np.sum(group[here])) for here in parts]
    every = math.prod(math.comb(len(here), size) for here, size in zip(parts, own, strict=True))
    if every > MOST_WAYS:
        return [field.reshuffled[:, group]]
    return [
        here[np.array(list(combinations(range(len(here)), size)))]
        for here, size in zip(parts, own, strict=True)
    ]


def _sums(scores: Floats, ways: Sequence[Integers]) -> Floats:
    """Sums of the scores of a group, by way."""
    by_kind = (scores[members].sum(axis=1) for members in ways)
    return reduce(lambda one, other: np.add.outer(one, other).ravel(), by_kind)
