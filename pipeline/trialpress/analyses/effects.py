"""How far something goes with results, within kinds, and beside it over all kinds together.

In:  what machines differ in, and the machines as arrays.
Out: ``Effect``s.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trialpress.analyses.codes import Together, Why
from trialpress.analyses.machines import SHARE_DECIMALS, rounded
from trialpress.analyses.maker_jackknife import correlation_within
from trialpress.analyses.ranks import (
    TINY,
    Estimate,
    Floats,
    deviations,
    explained_share,
    rank_scores,
)
from trialpress.analyses.sign_flips import Compared, sign_flip_p

FEWEST_PAIRS = 5
"""Fewer machines than that are not asked."""


@dataclass(frozen=True)
class Effect:
    """An effect size as published, and the p value of there being none."""

    size: Estimate
    p: float
    is_in_one_order: bool = False

    @property
    def relation(self) -> Together:
        """What the interval, as published, allows to tell of something ordered."""
        low, high = self.size.low, self.size.high
        if low is None or high is None:
            return Together.GOES_WITH if self.is_in_one_order else Together.CANNOT_TELL
        return Together.CANNOT_TELL if low <= 0 <= high else Together.GOES_WITH

    @property
    def why(self) -> Why | None:
        """Why something ordered has no interval."""
        if self.size.low is not None:
            return None
        return Why.IN_ONE_ORDER if self.is_in_one_order else Why.ONE_MAKER_DECIDES


def ordered_effect(levels: Floats, compared: Compared, confidence: float) -> Effect | Why:
    """Rank correlation within strata, or why there is none."""
    factor = rank_scores(levels, compared.strata)
    if not _differ_together(factor[:, None], compared):
        return Why.SAME_WITHIN_KINDS
    found = correlation_within(factor, compared.scores, compared, confidence)
    p = sign_flip_p(factor[:, None], compared)
    return Effect(rounded(found, SHARE_DECIMALS), p, is_in_one_order=abs(found.value) == 1)


def grouped_effect(levels: Sequence[str], compared: Compared) -> Effect | Why:
    """Share of the ranks' spread that groups account for, or why there is none.

    A group that one maker supplies alone is not looked at: it may be the maker.
    """
    members = np.equal.outer(np.array(levels), np.array(sorted(set(levels))))
    columns = deviations(members.astype(np.float64), compared.strata)
    if not _differ_together(columns, compared):
        return Why.SAME_WITHIN_KINDS
    columns = columns[:, _of_several_makers(members, columns, compared)]
    if columns.shape[1] == 0:
        return Why.ONE_MAKER_DECIDES
    share = explained_share(columns, compared.scores, compared.strata)
    size = rounded(Estimate(share, None, None), SHARE_DECIMALS)
    return Effect(size, sign_flip_p(columns, compared))


def _of_several_makers(
    members: NDArray[np.bool_], columns: Floats, compared: Compared
) -> NDArray[np.bool_]:
    """Which groups have machines of two makers at least both inside and outside, kind by kind."""
    differ = np.abs(columns) > TINY
    return np.array(
        [
            min(
                len(np.unique(compared.makers[here & inside])),
                len(np.unique(compared.makers[here & ~inside])),
            )
            > 1
            for here, inside in zip(differ.T, members.T, strict=True)
        ]
    )


def _differ_together(columns: Floats, compared: Compared) -> bool:
    """Whether machines that differ in the columns differ in their results as well."""
    differ = np.any(np.abs(columns) > TINY, axis=1)
    return bool(np.any(np.abs(compared.scores[differ]) > TINY))


def differs_from_raw(
    effect: Effect | Why | None, raw: Effect | Why | None, confidence: float
) -> bool:
    """Whether all kinds together say something else: another sign, or another answer of the test.

    Both p values are those of the one look, so that like is compared with like.
    """
    if not isinstance(raw, Effect):
        return False
    if not isinstance(effect, Effect):
        return raw.p < 1 - confidence
    turns = effect.size.value * raw.size.value < 0
    return turns or (effect.p < 1 - confidence) != (raw.p < 1 - confidence)
