"""How an interval and a place are worked out, step by step, in words with the numbers in them.

In:  the ranking of a series, and which of its cells is meant.
Out: a ``WorkingStep`` for each thing worked out, in the order they are needed.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from scipy import special

from trialpress.results.levels import SpreadByLevel
from trialpress.results.ranking import Ranking
from trialpress.results.separation import critical_values
from trialpress.results.shares import Dispersion
from trialpress.results.spread import GUARD_DF, OWN_LEVEL, Spread
from trialpress.view import terms
from trialpress.words import figures, say, say_as, say_count


@dataclass(frozen=True)
class WorkingStep:
    """One step of the working-out: what, the formula with its numbers, and the outcome."""

    what: str
    formula: str
    outcome: str


def steps_of(ranking: Ranking, i: int, confidence: float) -> tuple[WorkingStep, ...]:
    """The steps from the runs of one cell to its interval, and to who is told apart from it.

    Parameters
    ----------
    ranking : Ranking
        Of the cell's series.
    i : int
        Where the cell is in the ranking.
    confidence : float
        Of the intervals, as a share of one.
    """
    mean = _mean_step(ranking, i)
    if ranking.spread is not None:
        between = _metric_steps(ranking, ranking.spread, i, confidence)
        return (mean, *between, _critical_step(ranking, ranking.spread.df, confidence))
    if ranking.dispersion is not None:
        between = _share_steps(ranking, ranking.dispersion, i, confidence)
        return (mean, *between, _critical_step(ranking, ranking.dispersion.df, confidence))
    why = terms.WHY[ranking.why] if ranking.why else ""
    return (mean, WorkingStep(say("interval"), why, say_as("interval", "none")))


def _mean_step(ranking: Ranking, i: int) -> WorkingStep:
    values = ranking.cells[i].values
    terms = " + ".join(_digits(value, 6) for value in values.tolist())
    return WorkingStep(say("mean"), f"({terms}) / {len(values)}", _digits(ranking.means.mean[i], 6))


def _metric_steps(
    ranking: Ranking, spread: Spread, i: int, confidence: float
) -> tuple[WorkingStep, ...]:
    means = ranking.means
    own = _own_spread(ranking, i)
    expected = float(spread.of_cells(len(ranking.cells))[i])
    used = expected if own is None else own.sd
    error = _digits(means.interval_se[i], 4)
    return (
        WorkingStep(say("spread"), _spread_words(ranking, spread), _digits(spread.sd, 4)),
        *_level_steps(ranking, spread, i),
        *_own_steps(own),
        WorkingStep(
            say("standard error"),
            say(
                "root of {terms}, and not less than the readings' own",
                terms=_terms(ranking, i, _per_run(used, ranking.cells[i].n)),
            ),
            error,
        ),
        WorkingStep(
            say("interval"),
            say(
                "mean +- t({df} degrees of freedom) {quantile} * {error}",
                df=figures.number(means.df[i], 1),
                quantile=_digits(float(special.stdtrit(means.df[i], (1 + confidence) / 2)), 4),
                error=error,
            ),
            _interval(ranking, i),
        ),
        WorkingStep(
            say("standard error in comparisons"),
            _guarded_words(ranking, spread, i),
            _digits(means.standard_error[i], 4),
        ),
    )


def _level_steps(ranking: Ranking, spread: Spread, i: int) -> Iterator[WorkingStep]:
    """The spread at the level of a set-up, where spreads follow it."""
    if isinstance(spread, SpreadByLevel):
        yield WorkingStep(
            say("spread at its level"),
            say(
                "{spread} * ({mean} / {centre})^{power}: runs scatter by the level of the mean",
                spread=_digits(spread.sd, 4),
                mean=_digits(ranking.means.mean[i], 6),
                centre=_digits(spread.centre, 6),
                power=_digits(spread.power, 4),
            ),
            _digits(float(spread.of_cells(len(ranking.cells))[i]), 4),
        )


def _own_spread(ranking: Ranking, i: int) -> Spread | None:
    """A set-up's own spread, where its interval rests on that and not on the shared one."""
    if not ranking.rests_on_own[i]:
        return None
    return Spread(float(ranking.scatter.sd[i]), float(ranking.scatter.df[i]))


def _own_steps(own: Spread | None) -> Iterator[WorkingStep]:
    if own is not None:
        yield WorkingStep(
            say("its own spread"),
            say(
                "on {df} degrees of freedom, larger than the others' by more than F allows at "
                "{level}: its interval rests on it",
                df=figures.number(own.df, 0),
                level=figures.percent(OWN_LEVEL),
            ),
            _digits(own.sd, 4),
        )


def _spread_words(ranking: Ranking, spread: Spread) -> str:
    digits = {
        "squares": _digits(spread.df * spread.sd**2, 6),
        "df": figures.number(spread.df, 0),
        "setups": _setups(ranking),
    }
    if isinstance(spread, SpreadByLevel):
        return say(
            "root of {squares} / {df}: the sum of squares around each set-up's mean, each over "
            "(mean / {centre})^{twice}, over its degrees of freedom, from all {setups}; this is "
            "the spread at {centre}",
            centre=_digits(spread.centre, 6),
            twice=_digits(2 * spread.power, 4),
            **digits,
        )
    if ranking.day.counts:
        return say(
            "root of {squares} / {df}: the sum of squares around each set-up's mean, days taken "
            "out, over its degrees of freedom, from all {setups}",
            **digits,
        )
    return say(
        "root of {squares} / {df}: the sum of squares around each set-up's mean over its degrees "
        "of freedom, from all {setups}",
        **digits,
    )


def _guarded_words(ranking: Ranking, spread: Spread, i: int) -> str:
    """The standard error that a set-up brings into differences, and why its spread is that."""
    n, day = ranking.cells[i].n, ranking.day
    own, alone = float(ranking.scatter.sd[i]), _own_spread(ranking, i)
    expected = float(spread.of_cells(len(ranking.cells))[i])
    if math.isnan(own) or day.tells_sittings:
        used = expected if alone is None else alone.sd
        return say("root of {terms}", terms=_terms(ranking, i, _per_run(used, n)))
    df = float(ranking.scatter.df[i])
    digits = {
        "own": _digits(own, 4),
        "shared": _digits(expected, 4),
        "df": _digits(df, 4),
        "guard": _digits(GUARD_DF, 4),
    }
    if own <= expected:
        digits["terms"] = _terms(ranking, i, _per_run(expected, n))
        if day.counts:
            return say(
                "root of {terms}: its own spread {own}, less what days add to it, is not larger",
                **digits,
            )
        return say("root of {terms}: its own spread {own} is not larger", **digits)
    squares = f"({df:g} * {digits['own']}^2 + {GUARD_DF:g} * {digits['shared']}^2)"
    digits["terms"] = _terms(ranking, i, f"{squares} / {df + GUARD_DF:g} / {n}")
    if day.counts:
        return say(
            "root of {terms}: its own spread, less what days add to it, on {df} degrees of "
            "freedom, and for {guard} more the shared one",
            **digits,
        )
    return say(
        "root of {terms}: its own spread on {df} degrees of freedom, and for {guard} more the "
        "shared one",
        **digits,
    )


def _per_run(spread: float, runs: int) -> str:
    return f"{_digits(spread, 4)}^2 / {runs}"


def _terms(ranking: Ranking, i: int, first: str) -> str:
    """What stands under a root: the runs' own part, and those of sittings and days that count.

    A sitting's or a day's variance counts by the sum of squares of the shares of the runs in it.
    """
    day, terms = ranking.day, [first]
    parts = ranking.parts
    if day.sitting_variance > 0:
        written = _digits(day.sitting_variance, 4), _digits(float(parts.sittings[i]), 4)
        terms.append(say("sittings {variance} * {weight}", variance=written[0], weight=written[1]))
    if day.day_variance > 0:
        written = _digits(day.day_variance, 4), _digits(float(parts.days[i]), 4)
        terms.append(say("days {variance} * {weight}", variance=written[0], weight=written[1]))
    return " + ".join(terms)


def _share_steps(
    ranking: Ranking, dispersion: Dispersion, i: int, confidence: float
) -> tuple[WorkingStep, ...]:
    cell, df = ranking.cells[i], float(ranking.means.df[i])
    tries = cell.n**2 / float(np.sum(1 / cell.tries))
    factor = _digits(dispersion.factor, 4)
    return (
        WorkingStep(
            say("dispersion"),
            say(
                "scatter of runs over that of single tries, at least 1, on {df} degrees of freedom",
                df=figures.number(dispersion.df, 0),
            ),
            factor,
        ),
        WorkingStep(
            say("tries that count"),
            f"{_digits(tries, 6)} / {factor}",
            _digits(tries / dispersion.factor, 6),
        ),
        WorkingStep(
            say("interval"),
            say(
                "Wilson's interval of {mean} of that many tries, "
                "at t({df} degrees of freedom) {quantile}",
                mean=f"{_digits(ranking.means.mean[i], 6)} %",
                df=figures.number(df, 1),
                quantile=_digits(float(special.stdtrit(df, (1 + confidence) / 2)), 4),
            ),
            _interval(ranking, i),
        ),
    )


def _critical_step(ranking: Ranking, df: float, confidence: float) -> WorkingStep:
    critical = float(critical_values(confidence, len(ranking.cells), df))
    counts = say(
        "a difference counts from q({confidence}; {setups}, {df} degrees of freedom) / sqrt(2) of "
        "its standard errors",
        confidence=_digits(confidence, 6),
        setups=_setups(ranking),
        df=figures.number(df, 0),
    )
    parts = (counts, *_difference_words(ranking))
    outcome = say("{critical} standard errors", critical=_digits(critical, 4))
    return WorkingStep(say("told apart"), ", ".join(parts), outcome)


def _difference_words(ranking: Ranking) -> Iterator[str]:
    """What the standard error of a difference is."""
    if ranking.dispersion is None:
        # For translators: "own" are standard errors.
        yield say("the root of the sum of squares of the two set-ups' own in comparisons")
    elif ranking.day.counts:  # a set-up's own scatter holds days and sittings, and is left aside
        yield say(
            "by the ends of both Wilson intervals (Newcombe's method 10), each set-up's tries over "
            "the shared dispersion"
        )
    else:
        yield say(
            "by the ends of both Wilson intervals (Newcombe's method 10), each set-up's tries over "
            "the shared dispersion, or over (df * its own + {guard} * the shared one) / (df + "
            "{guard}) where that is larger and above 1; df is its runs less one",
            guard=_digits(GUARD_DF, 4),
        )
    if ranking.day.counts:
        yield say("with days only where they were not run on the same")
    if isinstance(ranking.spread, SpreadByLevel):
        yield say("on fewer degrees of freedom where the two lie far from the middle level")


def _interval(ranking: Ranking, i: int) -> str:
    means = ranking.means
    return say("{low} to {high}", low=_digits(means.low[i], 6), high=_digits(means.high[i], 6))


def _setups(ranking: Ranking) -> str:
    return say_count("{count} set-up", "{count} set-ups", len(ranking.cells))


def _digits(value: float, digits: int) -> str:
    """A number as a pocket calculator shows it, with so many significant digits."""
    return figures.plain(f"{value:.{digits}g}").replace(figures.MINUS, "-")
