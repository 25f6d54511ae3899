"""How likely further runs are to tell two set-ups apart, all that is uncertain averaged over.

In:  two set-ups of a series as they stand, and the evenings and runs planned for them.
Out: the assurance of a plan, and the number of runs that reaches one.

Power is the chance to tell a difference that is supposed to be exactly so. A plan knows it from the
runs so far only, and the spreads too: assurance is power averaged over both.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from trialpress.results.days import DaySpread, MeanSquare, Parts, degrees_of_freedom
from trialpress.results.separation import critical_values
from trialpress.results.spread import Floats, Spread, guarded_spread

ASSURANCE = 0.8
MOST_RUNS = 60
DRAWS = 8000
SEED = 20310302
NO_DF = 1e-9


@dataclass(frozen=True)
class Side:
    """One of two set-ups: its runs so far, their own spread, and how they lie on days.

    ``sittings`` is how often the variance of its mean holds that of sittings: the sum of squares of
    the shares of its runs in each; 0 runs are a set-up that begins.
    """

    runs: int
    own: Spread
    sittings: float


@dataclass(frozen=True)
class Bout:
    """Two set-ups to be told apart.

    ``difference`` is that of the means so far, ``days`` how often its variance holds that of days.
    ``spread`` is the run-to-run standard deviation and ``day`` what days and sittings add;
    ``count`` set-ups are compared in all. Where ``is_supposed``, with 0 runs on both sides,
    difference and spread are exactly as given, and assurance is power; without ``is_guarded`` that
    of the plain pooled method. Both are to compare with tables of the t test.
    """

    difference: float
    sides: tuple[Side, Side]
    spread: Spread
    day: DaySpread
    days: float
    count: int
    confidence: float
    is_guarded: bool = True
    is_supposed: bool = False


@dataclass(frozen=True)
class Evenings:
    """Further runs of each set-up, as many on each of the evenings, which both share."""

    runs: int
    evenings: int

    @property
    def in_each(self) -> float:
        """Runs of a set-up in one evening, on average."""
        return self.runs / self.evenings


def assurance(bout: Bout, plan: Evenings) -> float:
    """Chance that the rule of the standings tells the two apart once the plan is done.

    Parameters
    ----------
    bout : Bout
        The set-ups as they stand.
    plan : Evenings
        Runs to come; they join those so far.

    Returns
    -------
    float
        Between 0 and 1, from a fixed set of random draws: the same answer every time.

    Notes
    -----
    What is not known is drawn from what the runs so far leave open, with no opinion beforehand:
    variances from their mean squares, the true difference around the one found. Source: O'Hagan,
    Stevens and Campbell, Pharmaceutical Statistics 4 (2005) 187; Spiegelhalter, Freedman and
    Parmar, Journal of the Royal Statistical Society A 157 (1994) 357, for runs that join others.
    """
    draws = np.random.default_rng(SEED)
    run, sitting = _variances(bout, draws)
    found = draws.normal(size=DRAWS) * np.sqrt(_variance_to_come(bout, plan, run, sitting))
    error, df = _error_at_the_end(bout, plan, (run, sitting), draws)
    critical = float(critical_values(bout.confidence, bout.count, df))
    return float(np.mean(np.abs(bout.difference + found) > critical * error))


def runs_to_separate(bout: Bout, evenings: int, wanted: float = ASSURANCE) -> int | None:
    """Further runs of each set-up, over so many evenings, that reach an assurance.

    Returns
    -------
    int or None
        0 where the runs so far tell them apart; None where more than ``MOST_RUNS`` would be needed.
    """
    for runs in range(MOST_RUNS + 1):
        if assurance(bout, Evenings(runs, max(min(evenings, runs), 1))) >= wanted:
            return runs
    return None


def _variances(bout: Bout, draws: np.random.Generator) -> tuple[Floats, Floats]:
    """Variances of runs and of sittings as they may be, shape (DRAWS,)."""
    if bout.is_supposed:
        return np.full(DRAWS, bout.spread.sd**2), np.full(DRAWS, bout.day.sitting_variance)
    run = _drawn(MeanSquare(bout.spread.sd**2, bout.spread.df), draws)
    if bout.day.sitting_variance == 0:
        return run, np.zeros(DRAWS)
    both = _drawn(bout.day.sitting, draws)
    return run, np.maximum((both - run) / bout.day.sitting.sittings, 0.0)


def _drawn(square: MeanSquare, draws: np.random.Generator) -> Floats:
    if math.isinf(square.df):
        return np.full(DRAWS, square.value)
    return np.asarray(square.value * square.df / draws.chisquare(square.df, DRAWS))


def _variance_to_come(bout: Bout, plan: Evenings, run: Floats, sitting: Floats) -> Floats:
    """By how much the difference may still move until the plan is done."""
    total, shares = np.zeros(DRAWS), []
    if plan.runs == 0:
        return total
    for side in bout.sides:
        share = plan.runs / (side.runs + plan.runs)
        so_far = run / side.runs + side.sittings * sitting if side.runs else 0.0
        total += share**2 * (so_far + run / plan.runs + sitting / plan.evenings)
        shares.append(share)
    of_days = bout.days * math.fsum(shares) ** 2 / 4
    uneven = (shares[0] - shares[1]) ** 2 / plan.evenings
    return np.asarray(total + (of_days + uneven) * bout.day.day_variance)


def _error_at_the_end(
    bout: Bout, plan: Evenings, true: tuple[Floats, Floats], draws: np.random.Generator
) -> tuple[Floats, float]:
    """Standard error of the difference as the standings will have it, and degrees of freedom."""
    run, has_sittings = true[0], bout.day.sitting_variance > 0
    runs = np.array([side.runs + plan.runs for side in bout.sides], dtype=np.float64)
    new_df = np.array([_new_df(side, plan, has_sittings=has_sittings) for side in bout.sides])
    residual = run[:, None] * draws.chisquare(np.maximum(new_df, NO_DF), (DRAWS, 2))
    known = np.full(DRAWS, bout.spread.sd**2)
    if bout.is_supposed and bout.spread.df > 0:
        known = known * draws.chisquare(bout.spread.df, DRAWS) / bout.spread.df
    spread = _joined(known, bout.spread.df, residual.sum(axis=1), new_df.sum())
    used = np.sqrt(np.repeat(spread[:, None], 2, axis=1))
    if bout.is_guarded and not bout.day.tells_sittings:
        own = [
            _joined(side.own.sd**2, side.own.df, residual[:, k], new_df[k])
            for k, side in enumerate(bout.sides)
        ]
        df_at_end = new_df + np.array([side.own.df for side in bout.sides])
        used = guarded_spread(np.sqrt(np.stack(own, axis=1)), df_at_end, used)
    day, sittings = _sittings_at_the_end(bout, plan, true, draws)
    parts = _parts_at_the_end(bout, plan)
    variance = (used**2 / runs).sum(axis=1) + sittings * parts.sittings
    variance = variance + parts.days * day.day_variance
    df = bout.spread.df + float(new_df.sum())
    of_runs = np.asarray(bout.spread.sd**2 * (1 / runs).sum())
    at_end = replace(day, run=MeanSquare(bout.spread.sd**2, df))
    expected = of_runs + parts.variance(at_end)
    return np.sqrt(variance), float(degrees_of_freedom(expected, of_runs, df, parts, at_end))


def _new_df(side: Side, plan: Evenings, *, has_sittings: bool) -> float:
    """Degrees of freedom that the new runs of a set-up add to the spread of runs."""
    if has_sittings:
        return float(plan.runs - plan.evenings) if plan.runs else 0.0
    return float(plan.runs if side.runs else plan.runs - 1)


def _joined(before: Floats | float, df: float, squares: Floats, new_df: float) -> Floats:
    """A mean square of what was there and what comes; NaN where there is nothing."""
    if math.isinf(df):
        return np.broadcast_to(before, squares.shape)
    known = before * df if df > 0 else 0.0
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.asarray((known + squares) / np.float64(df + new_df))


def _sittings_at_the_end(
    bout: Bout, plan: Evenings, true: tuple[Floats, Floats], draws: np.random.Generator
) -> tuple[DaySpread, Floats]:
    """The mean square of sittings with those to come, and the variances that it will give."""
    day, (run, sitting) = bout.day, true
    if day.sitting_variance == 0:
        return day, np.zeros(DRAWS)
    more = float(plan.evenings) if plan.runs else 0.0
    df = day.sitting.df + more
    often = (day.sitting.sittings * day.sitting.df + plan.in_each * more) / df
    squares = (run + plan.in_each * sitting) * draws.chisquare(max(more, NO_DF), DRAWS)
    found = _joined(day.sitting.value, day.sitting.df, squares, more)
    square = MeanSquare(day.sitting.value, df, often)
    return replace(day, sitting=square), np.maximum((found - run) / often, 0.0)


def _parts_at_the_end(bout: Bout, plan: Evenings) -> Parts:
    """How often the variance of the final difference holds those of sittings and of days."""
    old = [side.runs / max(side.runs + plan.runs, 1) for side in bout.sides]
    new = [1 - share for share in old]
    per_evening = 1 / plan.evenings
    sittings = math.fsum(
        share**2 * side.sittings + (1 - share) ** 2 * per_evening
        for share, side in zip(old, bout.sides, strict=True)
    )
    days = bout.days * math.fsum(old) ** 2 / 4 + (new[0] - new[1]) ** 2 * per_evening
    return Parts(np.asarray(sittings), np.asarray(days))
