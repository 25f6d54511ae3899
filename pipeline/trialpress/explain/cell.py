"""One set-up in one series: its runs, its interval and how its place came about.

In:  the store.
Out: ``CellExplanation``, whose steps can be followed with a pocket calculator.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy import special

from trialpress.errors import UsageError
from trialpress.results.ranking import Ranking
from trialpress.results.separation import critical_values
from trialpress.results.shares import Dispersion
from trialpress.results.spread import GUARD_FACTOR, Spread
from trialpress.results.working import ranking_of
from trialpress.store import Store, read_sql

PACKAGE = "trialpress.explain"
_METRIC_DIFFERENCE = "the root of the sum of squares of the two set-ups' own in comparisons"
_SHARE_DIFFERENCE = (
    "by the ends of both Wilson intervals (Newcombe's method 10), each set-up's tries over "
    f"{GUARD_FACTOR}^2 times the larger of its own and the shared dispersion"
)


class NoSuchCellError(UsageError):
    """The set-up has no valid run under the protocol."""

    def __init__(self, setup: str, protocol: str, as_of: object) -> None:
        super().__init__(
            f"{setup} has no valid run under {protocol} to be seen as of {as_of}. "
            "Check both names; what is later or under embargo is seen with --as-of DATE."
        )


@dataclass(frozen=True)
class RunLine:
    """A run of the cell."""

    run: str
    day: str
    value: float
    u_value: float | None
    flags: str


@dataclass(frozen=True)
class Step:
    """One step of the working-out: what, the formula with its numbers, and the outcome."""

    what: str
    formula: str
    outcome: str


@dataclass(frozen=True)
class Opponent:
    """Another set-up that can be told apart from this one."""

    setup: str
    difference: float
    low: float
    high: float
    relation: str


@dataclass(frozen=True)
class CellExplanation:
    """A cell worked out and its place, with everyone it can be told apart from."""

    setup: str
    protocol: str
    version: int
    unit: str
    runs: tuple[RunLine, ...]
    steps: tuple[Step, ...]
    place: int
    place_best: int
    place_worst: int
    set_ups: int
    told_apart: tuple[Opponent, ...]
    why: str | None


@dataclass(frozen=True)
class _Standing:
    setup: str
    protocol: str
    place: int
    place_best: int
    place_worst: int
    unit: str
    version: int


def explain_cell(
    store: Store, setup: str, protocol: str, version: int | None = None
) -> CellExplanation:
    """Explain the standing of one set-up.

    Parameters
    ----------
    store : Store
        With every result table.
    setup, protocol : str
        Slugs.
    version : int, optional
        A version of the series; the newest series where not given.

    Raises
    ------
    NoSuchCellError
        If the set-up has no valid run there.
    """
    sql = read_sql(PACKAGE, "queries/standing.sql")
    standings = store.records(_Standing, sql, [setup, protocol, version])
    if not standings:
        raise NoSuchCellError(setup, protocol, store.as_of)
    standing = standings[0]
    return _explained(store, standing, ranking_of(store, protocol, standing.version))


def explain_cells(store: Store) -> tuple[CellExplanation, ...]:
    """Explain every standing of every series; each series is worked out once."""
    sql = read_sql(PACKAGE, "queries/standings.sql")
    standings = store.records(_Standing, sql)
    keys = sorted({(row.protocol, row.version) for row in standings})
    rankings = {key: ranking_of(store, *key) for key in keys}
    return tuple(_explained(store, row, rankings[row.protocol, row.version]) for row in standings)


def _explained(store: Store, standing: _Standing, ranking: Ranking) -> CellExplanation:
    key = [standing.setup, standing.protocol, standing.version]
    index = [cell.setup for cell in ranking.cells].index(standing.setup)
    return CellExplanation(
        setup=standing.setup,
        protocol=standing.protocol,
        version=standing.version,
        unit=standing.unit,
        runs=tuple(store.records(RunLine, read_sql(PACKAGE, "queries/runs_of_cell.sql"), key)),
        steps=_steps(ranking, index, store.settings.confidence),
        place=standing.place,
        place_best=standing.place_best,
        place_worst=standing.place_worst,
        set_ups=len(ranking.cells),
        told_apart=tuple(store.records(Opponent, read_sql(PACKAGE, "queries/told_apart.sql"), key)),
        why=ranking.why,
    )


def _steps(ranking: Ranking, i: int, confidence: float) -> tuple[Step, ...]:
    mean = _mean_step(ranking, i)
    if ranking.spread is not None:
        between = _metric_steps(ranking, ranking.spread, i, confidence)
        return (mean, *between, _critical_step(ranking, ranking.spread.df, confidence))
    if ranking.dispersion is not None:
        between = _share_steps(ranking, ranking.dispersion, i, confidence)
        return (mean, *between, _critical_step(ranking, ranking.dispersion.df, confidence))
    return (mean, Step("interval", ranking.why or "", "none"))


def _mean_step(ranking: Ranking, i: int) -> Step:
    values = ranking.cells[i].values
    terms = " + ".join(f"{value:.6g}" for value in values.tolist())
    return Step("mean", f"({terms}) / {len(values)}", f"{ranking.means.mean[i]:.6g}")


def _metric_steps(ranking: Ranking, spread: Spread, i: int, confidence: float) -> tuple[Step, ...]:
    means, day = ranking.means, ranking.day
    n = ranking.cells[i].n
    quantile = float(special.stdtrit(means.df[i], (1 + confidence) / 2))
    day_part = f" + days {day.day_variance:.4g} * their weights" if day.counts else ""
    return (
        Step(
            "spread",
            f"root of {spread.df * spread.sd**2:.6g} / {spread.df:.0f}: the sum of squares around "
            "each set-up's mean"
            + (", days taken out," if day.counts else "")
            + f" over its degrees of freedom, from all {len(ranking.cells)} set-ups",
            f"{spread.sd:.4g}",
        ),
        Step(
            "standard error",
            f"root of {spread.sd:.4g}^2 / {n}{day_part}, and not less than the readings' own",
            f"{means.interval_se[i]:.4g}",
        ),
        Step(
            "interval",
            f"mean +- t({means.df[i]:.1f} degrees of freedom) {quantile:.4g} "
            f"* {means.interval_se[i]:.4g}",
            f"{means.low[i]:.6g} to {means.high[i]:.6g}",
        ),
        Step(
            "standard error in comparisons",
            _guarded_words(means.sd[i], spread, days_count=day.counts)
            + f" / root of {n}{day_part}",
            f"{means.standard_error[i]:.4g}",
        ),
    )


def _guarded_words(own: float, spread: Spread, *, days_count: bool) -> str:
    if math.isnan(own):
        return f"{spread.sd:.4g}, the shared spread, as there is one run only,"
    less_days = ", less what days add to it," if days_count else ""
    return f"{GUARD_FACTOR} * the larger of its own {own:.4g}{less_days} and {spread.sd:.4g},"


def _share_steps(
    ranking: Ranking, dispersion: Dispersion, i: int, confidence: float
) -> tuple[Step, ...]:
    means, cell = ranking.means, ranking.cells[i]
    quantile = float(special.stdtrit(dispersion.df, (1 + confidence) / 2))
    tries = cell.n**2 / float(np.sum(1 / cell.tries))
    return (
        Step(
            "dispersion",
            "scatter of runs over that of single tries, at least 1, "
            f"on {dispersion.df:.0f} degrees of freedom",
            f"{dispersion.factor:.4g}",
        ),
        Step("tries that count", f"{tries:.6g} / {dispersion.factor:.4g}",
             f"{tries / dispersion.factor:.6g}"),
        Step(
            "interval",
            f"Wilson's interval of {means.mean[i]:.6g} % of that many tries, "
            f"at t({dispersion.df:.0f} degrees of freedom) {quantile:.4g}",
            f"{means.low[i]:.6g} to {means.high[i]:.6g}",
        ),
    )  # fmt: skip


def _critical_step(ranking: Ranking, df: float, confidence: float) -> Step:
    count = len(ranking.cells)
    critical = float(critical_values(confidence, count, df))
    return Step(
        "told apart",
        f"a difference counts from q({confidence:g}; {count} set-ups, {df:.0f} degrees of freedom) "
        "/ sqrt(2) of its standard errors, "
        + (_METRIC_DIFFERENCE if ranking.dispersion is None else _SHARE_DIFFERENCE)
        + (", with days only where they were not run on the same" if ranking.day.counts else ""),
        f"{critical:.4g} standard errors",
    )
