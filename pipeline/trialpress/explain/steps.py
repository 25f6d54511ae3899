"""How an interval and a place are worked out, step by step, in words with the numbers in them.

In:  the ranking of a series, and which of its cells is meant.
Out: a ``Step`` for each thing worked out, in the order they are needed.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from scipy import special

from trialpress.results.ranking import Ranking
from trialpress.results.separation import critical_values
from trialpress.results.shares import Dispersion
from trialpress.results.spread import Spread, guard_factor
from trialpress.words import figures, say, say_as, say_count


@dataclass(frozen=True)
class Step:
    """One step of the working-out: what, the formula with its numbers, and the outcome."""

    what: str
    formula: str
    outcome: str


def steps_of(ranking: Ranking, i: int, confidence: float) -> tuple[Step, ...]:
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
    return (mean, Step(say("interval"), ranking.why or "", say_as("interval", "none")))


def _mean_step(ranking: Ranking, i: int) -> Step:
    values = ranking.cells[i].values
    terms = " + ".join(_digits(value, 6) for value in values.tolist())
    return Step(say("mean"), f"({terms}) / {len(values)}", _digits(ranking.means.mean[i], 6))


def _metric_steps(ranking: Ranking, spread: Spread, i: int, confidence: float) -> tuple[Step, ...]:
    means = ranking.means
    error = _digits(means.interval_se[i], 4)
    return (
        Step(say("spread"), _spread_words(ranking, spread), _digits(spread.sd, 4)),
        Step(
            say("standard error"),
            say(
                "root of {terms}, and not less than the readings' own",
                terms=_terms(ranking, f"{_digits(spread.sd, 4)}^2 / {ranking.cells[i].n}"),
            ),
            error,
        ),
        Step(
            say("interval"),
            say(
                "mean +- t({df} degrees of freedom) {quantile} * {error}",
                df=figures.number(means.df[i], 1),
                quantile=_digits(float(special.stdtrit(means.df[i], (1 + confidence) / 2)), 4),
                error=error,
            ),
            _interval(ranking, i),
        ),
        Step(
            say("standard error in comparisons"),
            _guarded_words(ranking, spread, i),
            _digits(means.standard_error[i], 4),
        ),
    )


def _spread_words(ranking: Ranking, spread: Spread) -> str:
    told = {
        "squares": _digits(spread.df * spread.sd**2, 6),
        "df": figures.number(spread.df, 0),
        "setups": _setups(ranking),
    }
    if ranking.day.counts:
        return say(
            "root of {squares} / {df}: the sum of squares around each set-up's mean, days taken "
            "out, over its degrees of freedom, from all {setups}",
            **told,
        )
    return say(
        "root of {squares} / {df}: the sum of squares around each set-up's mean over its degrees "
        "of freedom, from all {setups}",
        **told,
    )


def _guarded_words(ranking: Ranking, spread: Spread, i: int) -> str:
    own = ranking.means.sd[i]
    terms, shared = _terms(ranking, str(ranking.cells[i].n)), _digits(spread.sd, 4)
    if math.isnan(own):
        return say(
            "{shared}, the shared spread, as there is one run only, / root of {terms}",
            shared=shared,
            terms=terms,
        )
    told = {
        "factor": figures.typed_number(guard_factor(len(ranking.cells))),
        "own": _digits(own, 4),
        "shared": shared,
        "terms": terms,
    }
    if ranking.day.counts:
        return say(
            "{factor} * the larger of its own {own}, less what days add to it, and {shared}, "
            "/ root of {terms}",
            **told,
        )
    return say("{factor} * the larger of its own {own} and {shared}, / root of {terms}", **told)


def _terms(ranking: Ranking, first: str) -> str:
    """What stands under a root: the runs' own part, and those of days and sittings that count."""
    day, terms = ranking.day, [first]
    if day.sitting_variance > 0:
        variance = _digits(day.sitting_variance, 4)
        terms.append(say("sittings {variance} * their weights", variance=variance))
    if day.day_variance > 0:
        variance = _digits(day.day_variance, 4)
        terms.append(say("days {variance} * their weights", variance=variance))
    return " + ".join(terms)


def _share_steps(
    ranking: Ranking, dispersion: Dispersion, i: int, confidence: float
) -> tuple[Step, ...]:
    cell, df = ranking.cells[i], figures.number(dispersion.df, 0)
    tries = cell.n**2 / float(np.sum(1 / cell.tries))
    factor = _digits(dispersion.factor, 4)
    return (
        Step(
            say("dispersion"),
            say(
                "scatter of runs over that of single tries, at least 1, on {df} degrees of freedom",
                df=df,
            ),
            factor,
        ),
        Step(
            say("tries that count"),
            f"{_digits(tries, 6)} / {factor}",
            _digits(tries / dispersion.factor, 6),
        ),
        Step(
            say("interval"),
            say(
                "Wilson's interval of {mean} of that many tries, "
                "at t({df} degrees of freedom) {quantile}",
                mean=f"{_digits(ranking.means.mean[i], 6)} %",
                df=df,
                quantile=_digits(float(special.stdtrit(dispersion.df, (1 + confidence) / 2)), 4),
            ),
            _interval(ranking, i),
        ),
    )


def _critical_step(ranking: Ranking, df: float, confidence: float) -> Step:
    critical = float(critical_values(confidence, len(ranking.cells), df))
    counts = say(
        "a difference counts from q({confidence}; {setups}, {df} degrees of freedom) / sqrt(2) of "
        "its standard errors",
        confidence=_digits(confidence, 6),
        setups=_setups(ranking),
        df=figures.number(df, 0),
    )
    told = (counts, *_difference_words(ranking))
    outcome = say("{critical} standard errors", critical=_digits(critical, 4))
    return Step(say("told apart"), ", ".join(told), outcome)


def _difference_words(ranking: Ranking) -> Iterator[str]:
    """What the standard error of a difference is."""
    if ranking.dispersion is None:
        # For translators: "own" are standard errors.
        yield say("the root of the sum of squares of the two set-ups' own in comparisons")
    else:
        yield say(
            "by the ends of both Wilson intervals (Newcombe's method 10), each set-up's tries over "
            "{factor}^2 times the larger of its own and the shared dispersion",
            factor=figures.typed_number(guard_factor(len(ranking.cells))),
        )
    if ranking.day.counts:
        yield say("with days only where they were not run on the same")


def _interval(ranking: Ranking, i: int) -> str:
    means = ranking.means
    return say("{low} to {high}", low=_digits(means.low[i], 6), high=_digits(means.high[i], 6))


def _setups(ranking: Ranking) -> str:
    return say_count("{count} set-up", "{count} set-ups", len(ranking.cells))


def _digits(value: float, digits: int) -> str:
    """A number as a pocket calculator shows it, with so many significant digits."""
    return figures.plain(f"{value:.{digits}g}").replace(figures.MINUS, "-")
