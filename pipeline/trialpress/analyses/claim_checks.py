"""Claims of spec sheets held against measurements.

In:  claims as stated, and what set-ups measure, unrounded.
Out: ``ClaimCheckRow`` records, one a claim. A claim is measured where its quantity bears the name
     of a protocol.

A claim about a set-up is held against that one. Another is held against the machine as unboxed; of
several set-ups as unboxed the most favourable counts. The verdicts are one family: with many claims
some would seem broken by chance alone.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from scipy import special

from trialpress.analyses.claims import Measured, StatedClaim, significant
from trialpress.analyses.codes import ClaimVerdict, HeldAgainst, Why
from trialpress.analyses.family import corrected, holm, published_p
from trialpress.analyses.records import ClaimCheckRow
from trialpress.results.rounding import half_even
from trialpress.units import Measure, UnknownUnitError, normalised

MORE_DIGITS = 3
"""So many more than its series has may a difference get, where they show on which side it lies."""


@dataclass(frozen=True)
class Held:
    """A set-up held against a bound: measured less bound, and one-sided p values of either side."""

    measured: Measured
    difference: float
    low: float
    high: float
    p_kept: float
    p_not_kept: float


@dataclass(frozen=True)
class Judged:
    """A claim's row without its p values; those are one-sided, None where nothing is measured."""

    row: ClaimCheckRow
    is_short: bool = False
    p_kept: float | None = None
    p_not_kept: float | None = None


def check_claims(
    claims: Sequence[StatedClaim], measured: Sequence[Measured], confidence: float
) -> list[ClaimCheckRow]:
    """Hold every claim against what was measured of it.

    Parameters
    ----------
    claims : sequence of StatedClaim
        All of the bench.
    measured : sequence of Measured
        The set-ups with runs in series that claims may be made of.
    confidence : float
        Of the intervals, and of all verdicts together.

    Returns
    -------
    list of ClaimCheckRow
        In the order of the claims.

    Notes
    -----
    A claim is kept where the whole interval is at or beyond the bound, not kept where it lies short
    of it, and where moreover a one-sided t test says so that is put right for all claims (Holm).
    The chance that any claim is wrongly said to be not kept is at most 1 - confidence, and so is
    that for kept. Source: Holm, Scand. J. Stat. 6 (1979) 65.
    """
    judged = [_check(claim, measured) for claim in claims]
    kept = corrected([check.p_kept for check in judged], holm)
    not_kept = corrected([check.p_not_kept for check in judged], holm)
    return [
        _together(check, p_not_kept if check.is_short else p_kept, confidence)
        for check, p_kept, p_not_kept in zip(judged, kept, not_kept, strict=True)
    ]


def _together(judged: Judged, p_holm: float | None, confidence: float) -> ClaimCheckRow:
    row = judged.row
    is_told = p_holm is not None and p_holm < 1 - confidence
    return replace(
        row,
        p=published_p(judged.p_not_kept if judged.is_short else judged.p_kept),
        p_holm=published_p(p_holm),
        verdict=row.verdict if is_told or row.verdict is None else ClaimVerdict.CANNOT_TELL,
    )


def _check(claim: StatedClaim, measured: Sequence[Measured]) -> Judged:
    stated = claim.measure()
    row = _bare(claim, stated)
    candidates = [
        mean
        for mean in measured
        if (mean.machine, mean.protocol) == (claim.machine, claim.quantity)
        and (mean.is_as_unboxed if claim.setup is None else mean.setup == claim.setup)
    ]
    if stated is None:
        return Judged(replace(row, why=Why.UNIT_UNKNOWN))
    if all(mean.protocol != claim.quantity for mean in measured):
        return Judged(replace(row, why=Why.NOT_MEASURED_HERE))
    if not candidates:
        is_about_one = claim.setup is not None
        why = Why.SETUP_NOT_MEASURED if is_about_one else Why.NOT_MEASURED_AS_UNBOXED
        return Judged(replace(row, why=why))
    return _held(row, claim, stated, candidates)


def _bare(claim: StatedClaim, stated: Measure | None) -> ClaimCheckRow:
    return ClaimCheckRow(
        claim=claim.claim,
        machine=claim.machine,
        maker=claim.maker,
        quantity=claim.quantity,
        stated_value=claim.value,
        stated_unit=claim.unit,
        tolerance_pct=claim.tolerance_pct,
        source=claim.source,
        stated_on=claim.stated_on,
        is_newest=claim.is_newest,
        is_of_machine=claim.is_of_machine,
        value=stated.value if stated else None,
        unit=stated.unit if stated else None,
        dimension=stated.dimension if stated else None,
        protocol=None,
        version=None,
        setup=claim.setup,
        held_against=None,
        candidates=None,
        bound=None,
        measured=None,
        n=None,
        difference=None,
        difference_low=None,
        difference_high=None,
        p=None,
        p_holm=None,
        verdict=None,
        decimals=None,
        why=None,
    )


def _held(
    row: ClaimCheckRow, claim: StatedClaim, stated: Measure, candidates: Sequence[Measured]
) -> Judged:
    cell = candidates[0]
    here = replace(row, protocol=cell.protocol, version=cell.version)
    try:
        per_unit = normalised(1.0, cell.unit)
    except UnknownUnitError:
        return Judged(replace(here, why=Why.MEASURED_UNIT_UNKNOWN))
    if per_unit.dimension != stated.dimension:
        return Judged(replace(here, why=Why.OTHER_DIMENSION))
    bound = bound_of(
        stated.value / per_unit.value,
        claim.tolerance_pct,
        higher_is_better=cell.higher_is_better,
    )
    held = [hold(candidate, bound) for candidate in candidates]
    best = max(
        held, key=lambda candidate: candidate.difference * (1 if cell.higher_is_better else -1)
    )
    here = replace(
        here, held_against=_against(claim, cell), candidates=len(held), bound=significant(bound)
    )
    return _with_verdict(here, best, held)


def _against(claim: StatedClaim, cell: Measured) -> HeldAgainst:
    if claim.setup is not None:
        return HeldAgainst.STATED
    return HeldAgainst.AS_UNBOXED if cell.is_only_one_as_unboxed else HeldAgainst.MOST_FAVOURABLE


def bound_of(stated: float, tolerance_pct: float, *, higher_is_better: bool) -> float:
    """What a claim is held against: its figure, out by all of its tolerance the easy way."""
    granted = abs(stated) * tolerance_pct / 100
    return stated - granted if higher_is_better else stated + granted


def hold(measured: Measured, bound: float) -> Held:
    """Hold one set-up against a bound in its unit; NaN where there is no interval."""
    low, high, error, df = (
        math.nan if figure is None else figure
        for figure in (measured.low, measured.high, measured.interval_se, measured.df)
    )
    difference = measured.mean - bound
    sign = 1.0 if measured.higher_is_better else -1.0
    t = sign * difference / error if error > 0 else math.nan
    return Held(
        measured=measured,
        difference=difference,
        low=low - bound,
        high=high - bound,
        p_kept=float(special.stdtr(df, -t)),
        p_not_kept=float(special.stdtr(df, t)),
    )


def _with_verdict(row: ClaimCheckRow, best: Held, held: Sequence[Held]) -> Judged:
    """The verdict on the most favourable set-up, from unrounded ends.

    That the best of several keeps a claim has as many chances as there are set-ups; that none of
    them keeps it needs every one to say so.
    """
    cell = best.measured
    is_known = all(math.isfinite(check.p_kept) for check in held)
    digits = digits_for((best.low, best.high), cell.decimals)
    low, high = (half_even(end, digits) if is_known else None for end in (best.low, best.high))
    row = replace(
        row,
        setup=cell.setup,
        measured=half_even(cell.mean, digits),
        n=cell.n,
        difference=half_even(best.difference, digits),
        difference_low=low,
        difference_high=high,
        verdict=verdict(best.low, best.high, higher_is_better=cell.higher_is_better),
        decimals=digits,
        why=None if is_known else cell.why,
    )
    if not is_known:
        return Judged(replace(row, verdict=ClaimVerdict.CANNOT_TELL))
    return Judged(
        row,
        is_short=best.p_not_kept < best.p_kept,
        p_kept=min(1.0, len(held) * best.p_kept),
        p_not_kept=max(check.p_not_kept for check in held),
    )


def digits_for(ends: Sequence[float], decimals: int) -> int:
    """Decimals that show on which side of 0 each end lies; those of the series, if they do."""
    for digits in range(decimals, decimals + MORE_DIGITS):
        if all(end == 0 or not math.isfinite(end) or half_even(end, digits) != 0 for end in ends):
            return digits
    return decimals + MORE_DIGITS


def verdict(low: float, high: float, *, higher_is_better: bool) -> ClaimVerdict:
    """Whether a claim was kept, from the unrounded interval of measured less bound."""
    worst, best = (low, high) if higher_is_better else (-high, -low)
    if worst >= 0:
        return ClaimVerdict.KEPT
    return ClaimVerdict.NOT_KEPT if best < 0 else ClaimVerdict.CANNOT_TELL
