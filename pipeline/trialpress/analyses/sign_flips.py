"""Whether something goes with results, where machines of one maker depend on each other.

In:  what machines differ in, their rank scores, kinds and makers; arrays.
Out: p values from flipping the signs of whole makers.

A maker's machines share its strengths, so they are no independent witnesses. What is flipped is
therefore all that a maker's machines say together. Ten makers have 512 patterns of signs, and no
p value below 1/512: with few makers most questions stay open, and that is the answer.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

import numpy as np

from trialpress.analyses.ranks import TINY, Floats, Integers, rank_scores

MAKER_SHARE = 0.5
"""Share of the variance that a maker's machines are taken to share, in the standard errors alone.

By simulation (``tests/audit/association_study.py``) any share from 0 to 0.8 then errs in at
most 5 %."""
FIRST_LOOK, SECOND_LOOK = 2**11, 2**15
LOOK_AGAIN = 0.02
SEED = 20310302
FEWEST_MAKERS = 6
"""With fewer makers no pattern of signs is rarer than one in twenty: 2 / 2^5 > 0.05."""


@dataclass(frozen=True)
class Compared:
    """Machines that are looked at together, arrays of shape (n,).

    ``strata`` and ``makers`` are numbers from 0; values are in the unit of a series.
    """

    values: Floats
    strata: Integers
    makers: Integers

    @cached_property
    def scores(self) -> Floats:
        """Rank scores of the values within strata."""
        return rank_scores(self.values, self.strata)

    def in_one_stratum(self) -> Compared:
        """The same, every machine against every other."""
        return replace(self, strata=np.zeros_like(self.strata))

    def by_maker(self, columns: Floats) -> Floats:
        """Sums over each maker's machines of columns of shape (n, g): shape (makers, g)."""
        member = np.equal.outer(np.arange(self.makers.max() + 1), self.makers)
        return np.asarray(member.astype(np.float64) @ columns)


def sign_flip_p(columns: Floats, compared: Compared) -> float:
    """Two-sided p value of no association between any column and the values.

    Parameters
    ----------
    columns : ndarray, shape (n, g)
        What machines differ in, as deviations within strata; g of 1 for something ordered, else one
        a group.
    compared : Compared
        The machines.

    Returns
    -------
    float
        Between 2^(1 - makers) and 1; the largest of the g statistics decides.

    Notes
    -----
    Each maker's score is the sum of deviation times rank score over its machines. Under no
    association scores are independent and symmetric about 0, so each pattern of signs is as likely
    as that seen: Hemerik, Goeman and Finos, J. R. Stat. Soc. B 82 (2020) 841; whole clusters:
    Canay, Santos and Shaikh, Rev. Econ. Stat. 103 (2021) 346. Each pattern is divided by its own
    standard error, as deviations from a common mean lose variance where signs differ: De Santis,
    Goeman, Hemerik, Davenport and Finos, arXiv 2209.13918 (all from memory; the simulation in
    ``tests/audit`` and scipy's ``permutation_test`` are what is checked). All patterns are counted
    up to 16 makers, beyond that a seeded sample of them, a larger one where p is small.
    """
    makers = np.unique(compared.makers[np.any(np.abs(columns) > TINY, axis=1)])
    inside = np.isin(compared.makers, makers)
    kept = replace(
        compared,
        values=compared.values[inside],
        strata=np.unique(compared.strata[inside], return_inverse=True)[1],
        makers=np.searchsorted(makers, compared.makers[inside]),
    )
    scores = compared.scores[inside]
    p = 1.0
    for most in (FIRST_LOOK, SECOND_LOOK):
        p = _p_of(columns[inside], scores, kept, _signs(len(makers), most))
        if p > LOOK_AGAIN or 2 ** (len(makers) - 1) <= most:
            break
    return p


def _p_of(columns: Floats, scores: Floats, compared: Compared, signs: Floats) -> float:
    by_maker = compared.by_maker(columns * scores[:, None])
    largest = np.zeros(len(signs))
    for column, sums in zip(columns.T, by_maker.T, strict=True):
        variance = _flipped_variance(column, compared, signs)
        squared = (signs @ sums) ** 2
        ratio = np.where(variance > TINY, squared / np.maximum(variance, TINY), 0.0)
        np.maximum(largest, ratio, out=largest)
    return float(np.mean(largest >= largest[0] * (1 - 1e-9)))


def _flipped_variance(column: Floats, compared: Compared, signs: Floats) -> Floats:
    """Variance of the flipped sum, up to a factor, for each pattern of signs: shape (patterns,)."""
    strata = np.eye(int(compared.strata.max()) + 1)[compared.strata]
    own = compared.by_maker(strata * column[:, None])  # sums by maker and stratum
    counts = compared.by_maker(strata)
    lost = signs @ own  # what the common mean of each stratum takes up
    machines = np.sum(column**2) - np.sum(lost**2 / counts.sum(axis=0), axis=1)
    whole = signs * own.sum(axis=1) - lost @ (counts / counts.sum(axis=0)).T
    return np.asarray((1 - MAKER_SHARE) * machines + MAKER_SHARE * np.sum(whole**2, axis=1))


@lru_cache(maxsize=64)
def _signs(makers: int, most: int) -> Floats:
    """Patterns of signs, that seen first; turning all signs changes nothing, so the first stays."""
    if 2 ** (makers - 1) <= most:
        numbers = np.arange(2 ** (makers - 1))[:, None]
        flipped = (numbers >> np.arange(makers - 1)) & 1
    else:
        flipped = np.random.default_rng(SEED).integers(0, 2, (most, makers - 1))
        flipped[0] = 0
    return np.hstack([np.ones((len(flipped), 1)), 1.0 - 2.0 * flipped])
