"""How differently set-ups, and kinds of machines, take to different floors.

In:  scores (logarithms of means, or steps), set-ups by series, their error variances and kinds.
Out: the variances of the set-up x floor and of the kind x floor interaction.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from trialpress.results.spread import Floats


@dataclass(frozen=True)
class Square:
    """A mean square, its degrees of freedom, and how often it stands in the sum of variances."""

    value: float
    df: float
    times: float


@dataclass(frozen=True)
class Interaction:
    """Variances of an interaction, 0 where the estimate is not above 0.

    ``variance`` is that between set-ups of one kind, ``kind_variance`` that between the kinds in
    ``kinds``. Where there is one kind, or none has two set-ups, ``kinds`` is empty: they cannot be
    told apart, and all of it is between set-ups.
    """

    variance: float
    kind_variance: float
    kinds: tuple[str, ...]
    squares: tuple[Square, ...]

    @property
    def total(self) -> float:
        """Both together: how a set-up picked at random takes to a floor."""
        return self.variance + self.kind_variance

    @property
    def below(self) -> float:
        """The divisor of the Welch-Satterthwaite formula for ``total``."""
        return math.fsum((square.times * square.value) ** 2 / square.df for square in self.squares)


def interaction_of(scores: Floats, error_variance: Floats, kinds: Sequence[str]) -> Interaction:
    """Interaction variances of a complete table.

    Parameters
    ----------
    scores : ndarray, shape (k, m)
        Of k set-ups in m series; k and m at least 2.
    error_variance : ndarray, shape (k, m)
        Squared standard errors of the scores.
    kinds : sequence of str, length k
        The kind of machine of each set-up.

    Notes
    -----
    Source: two-way analysis of variance without replication, its interaction taken apart into kinds
    and set-ups within kinds (Searle, Casella and McCulloch, Variance Components, 3.6, nested and
    unbalanced). The mean square within kinds has the expectation set-up variance + mean error
    variance; that of kinds holds the kinds' variance a number of times besides.
    """
    names = sorted(set(kinds))
    error = float(error_variance.mean())
    groups = [scores[[kind == name for kind in kinds]] for name in names]
    per_setup, per_kind = scores.shape[1] - 1, (len(names) - 1) * (scores.shape[1] - 1)
    df = (len(kinds) - len(names)) * per_setup
    whole = _squares(scores)
    if df == 0 or per_kind == 0:
        df = (len(kinds) - 1) * per_setup
        variance = max(whole / df - error, 0.0)
        return Interaction(variance, 0.0, (), (Square(whole / df, df, 1.0),))
    within = math.fsum(_squares(group) for group in groups)
    of_setups, of_kinds = within / df, max(whole - within, 0.0) / per_kind
    sizes = [len(group) for group in groups]
    times = (len(kinds) - math.fsum(n**2 for n in sizes) / len(kinds)) / (len(names) - 1)
    variance, kind_variance = max(of_setups - error, 0.0), max(of_kinds - of_setups, 0.0) / times
    per_square = 1 / times if kind_variance > 0 else 0.0
    squares = (
        Square(of_setups, df, (variance > 0) - per_square),
        Square(of_kinds, per_kind, per_square),
    )
    return Interaction(variance, kind_variance, tuple(names), squares)


def _squares(scores: Floats) -> float:
    """Sum of squares of what set-ups and series do not explain by themselves."""
    centred = scores - scores.mean(axis=0)
    return float(np.sum((centred - centred.mean(axis=1, keepdims=True)) ** 2))
