"""How often the rule of the standings says "better" of equals, and how often it finds a difference.

In:  nothing; set-ups that are all equal, or one of them shifted, are simulated.
Out: ``SEPARATION.md`` beside this file, ``study.csv`` and ``study_others.csv`` in the package, and
     the functions that quick tests use.

Run as ``python -m audit.separation_study`` in ``tests``; ``make audit`` does.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from audit.equal_setups import (
    SHARE,
    TRIES,
    Scenario,
    draw,
    draw_shares,
    scenarios,
    shared_days_of,
    true_share,
)
from trialpress.results.cells import Cell, Means, all_days, all_setups, all_values
from trialpress.results.days import (
    NO_SQUARE,
    DayEvidence,
    DaySpread,
    SittingEvidence,
    between_day_spread,
)
from trialpress.results.metric import metric_differences, metric_means, series_spread
from trialpress.results.overall import OverallBy
from trialpress.results.overall_standing import BENCH, rank_overall
from trialpress.results.publishing import RankedSetup, SeriesRules
from trialpress.results.ranking import Rules, rank
from trialpress.results.separation import (
    Differences,
    critical_values,
    independent_errors,
    simultaneous_differences,
)
from trialpress.results.shares import series_dispersion, share_differences, share_means
from trialpress.results.spread import pooled_spread

CONFIDENCE = 0.95
POOLED_POWER = 0.8  # of the plain method at the shift by which power is measured
CASES = {
    "3 runs each": "three-runs",
    "2 runs each": "two-runs",
    "1 to 5 runs": "mixed",
    "every second one on one run": "singles",
    "threefold range of noise": "threefold",
    "one four times noisier": "one-noisy",
    "each on its own day, day spread 0": "own-days-0",
    "each on its own day, day spread 0.5": "own-days-0.5",
    "each on its own day, day spread 1": "own-days-1",
    "3 runs on each of 3 shared days, sitting spread 0": "sittings-0",
    "3 runs on each of 3 shared days, sitting spread 0.5": "sittings-0.5",
    "3 runs on each of 3 shared days, sitting spread 1": "sittings-1",
    "all on the same 3 days, day spread 1": "shared-days-1",
    "counts, 3 runs on each of 3 shared days": "counts-days-0",
    "counts, 3 runs on each of 3 shared days, day spread 1": "counts-days-1",
    "counts, 3 runs on each of 3 shared days, sitting spread 0.5": "counts-sittings-0.5",
    "counts, 3 runs on each of 3 shared days, sitting spread 1": "counts-sittings-1",
}
"""The codes of the scenarios in ``study.csv``, which pages quote."""
PROMISES = {
    8: {"equal": 5.5, "threefold": 7.0, "one-noisy": 9.0, "sittings": 6.0},
    20: {"equal": 5.5, "threefold": 7.0, "one-noisy": 9.0, "sittings": 6.0},
    45: {"equal": 5.5, "threefold": 8.0, "one-noisy": 9.0, "sittings": 6.0},
}
"""False separations promised, in percent; of three set-ups nothing is."""
EQUAL = ("three-runs", "two-runs", "mixed")
TABLE = Path(__file__).parents[2] / "pipeline/trialpress/results/study.csv"
OTHERS = TABLE.with_name("study_others.csv")
OVERALL_CASES = ("3 runs each", "threefold range of noise", "one four times noisier")
OVERALL_SHARED = 0.5
"""Spread of sittings, beside that of runs, in the overall's case of shared days."""
OVERALL_SIMULATIONS = {8: 4000, 20: 2000, 45: 1000}
SIMULATIONS = {3: 4000, 8: 8000, 20: 4000, 45: 2500}
NO_DAYS = DaySpread(
    DayEvidence.ONE_DAY, SittingEvidence.ONE_DAY, 0.0, 0.0, NO_SQUARE, NO_SQUARE, NO_SQUARE
)


@dataclass(frozen=True)
class Outcome:
    """Shares of simulations, in percent.

    ``plain_false_separation`` is that of the plain pooled method, which knows of no days and no
    guard. ``power`` is the chance to tell two set-ups apart by a shift that the plain method tells
    in ``POOLED_POWER``. ``coverage`` is that of the intervals of single means,
    ``noisiest_coverage`` that of the noisiest set-up's.
    """

    false_separation: float
    power: float
    coverage: float
    noisiest_coverage: float
    plain_false_separation: float


def simulate(scenario: Scenario, times: int, seed: int = 20310302) -> Outcome:
    """Simulate one scenario; the first two set-ups serve for power."""
    draws = np.random.default_rng(seed)
    found = np.array([_once(scenario, draws) for _ in range(times)], dtype=np.float64)
    apart, covered, noisiest, plain_apart = (100 * found[:, :4].mean(axis=0)).tolist()
    needed, plain_needed = found[:, 4], found[:, 5]
    power = 100 * float(np.mean(needed < np.quantile(plain_needed, POOLED_POWER)))
    return Outcome(apart, power, covered, noisiest, plain_apart)


def _once(scenario: Scenario, draws: np.random.Generator) -> tuple[float, ...]:
    cells = draw_shares(scenario, draws) if scenario.is_share else draw(scenario, draws)
    means, ours = _worked(cells, is_share=scenario.is_share)
    plain = plain_differences(cells)
    true = 100 * true_share(scenario) if scenario.is_share else 0.0
    covers = (means.low <= true) & (means.high >= true)
    noisiest = float(covers[np.argmax(scenario.noise)])
    covered = float(np.mean(covers))
    return (_any(ours), covered, noisiest, _any(plain), _needed(ours), _needed(plain))


def _worked(cells: Sequence[Cell], *, is_share: bool) -> tuple[Means, Differences]:
    day = between_day_spread(all_values(cells), all_setups(cells), all_days(cells))
    if is_share:
        dispersion = series_dispersion(cells, day)
        shares = share_means(cells, dispersion, day, CONFIDENCE)
        return shares, share_differences(cells, shares, dispersion, day, CONFIDENCE)
    spread = series_spread(cells, day)
    means = metric_means(cells, spread, day, CONFIDENCE)
    return means, metric_differences(cells, means, spread, day, CONFIDENCE)


def plain_differences(cells: Sequence[Cell]) -> Differences:
    """Tukey-Kramer with the pooled spread."""
    spread = pooled_spread([cell.values for cell in cells])
    errors = spread.sd / np.sqrt([cell.n for cell in cells])
    critical = critical_values(CONFIDENCE, len(cells), spread.df)
    means = np.array([cell.values.mean() for cell in cells])
    return simultaneous_differences(means, independent_errors(errors), critical)


def _any(between: Differences) -> float:
    return float(between.is_larger.any())


def _needed(between: Differences) -> float:
    """By how much the first would have to be better than the second to be told apart."""
    return float(-between.low[0, 1])


def repeated_looks(count: int, looks: int, times: int, seed: int = 7) -> tuple[float, float]:
    """False separations: looking after every extra pair of runs, and reading a plan once.

    Three runs each; then the two set-ups around the third place get one more run a look. Returns
    percentages: of those who stop as soon as any two set-ups can be told apart, and of those who
    look once, when all runs are done.
    """
    draws = np.random.default_rng(seed)
    stopped = planned = 0
    for _ in range(times):
        values = [list(draws.normal(0, 1, 3)) for _ in range(count)]
        order = np.argsort([-np.mean(runs) for runs in values])
        inside, outside = int(order[2]), int(order[3])
        seen = [_tells_any_apart(values)]
        for _ in range(looks):
            values[inside].append(draws.normal())
            values[outside].append(draws.normal())
            seen.append(_tells_any_apart(values))
        stopped += any(seen)
        planned += seen[-1]
    return 100 * stopped / times, 100 * planned / times


def overall_errs(scenario: Scenario, times: int, seed: int = 20310304) -> tuple[float, float]:
    """False separations of the overall over three series of one scenario, in percent.

    Means are 60; a run scatters by 2, 3 and 4, half, three quarters and all of what matters, in the
    three. Returns those of the overall by ratio, and in steps that matter.
    """
    draws = np.random.default_rng(seed)
    rules = Rules(higher_is_better=True, confidence=CONFIDENCE, top_n=3)
    count = len(scenario.runs)
    names = {f"{i}": RankedSetup(f"{i}", f"{i}", f"{i}", "stick", f"{i:03}") for i in range(count)}
    found = dict.fromkeys(OverallBy, 0)
    for _ in range(times):
        worked = [
            (
                SeriesRules(
                    f"{size}", 1, f"{size}", f"{size}", "%", True, 3, 4.0, 1.0, False, True
                ),
                rank([_scaled(cell, size) for cell in draw(scenario, draws)], rules),
            )
            for size in (2.0, 3.0, 4.0)
        ]
        rows = rank_overall(worked, rules, names, OverallBy.STEPS, has_chance=False).rows
        for by in OverallBy:
            found[by] += any(r.place_best != 1 for r in rows if r.by == by and r.scope == BENCH)
    return 100 * found[OverallBy.RATIO] / times, 100 * found[OverallBy.STEPS] / times


def _scaled(cell: Cell, size: float) -> Cell:
    return replace(cell, values=60 + size * cell.values)


def _tells_any_apart(values: Sequence[Sequence[float]]) -> bool:
    cells = []
    for k, runs in enumerate(values):
        unknown = np.full(len(runs), np.nan)
        days = np.zeros(len(runs), dtype=np.int64)
        cells.append(Cell(f"{k}", np.array(runs), unknown, unknown, days, unknown))
    spread = series_spread(cells, NO_DAYS)
    means = metric_means(cells, spread, NO_DAYS, CONFIDENCE)
    between = metric_differences(cells, means, spread, NO_DAYS, CONFIDENCE)
    return bool(between.is_larger.any())


def promised(set_ups: int, case: str) -> float | None:
    """What is promised of the false separations of a case, in percent; None where nothing is."""
    group = "equal" if case in EQUAL else case.rpartition("-")[0] or case
    of_number = PROMISES.get(set_ups, {})
    return of_number.get(case, of_number.get(group))


def study_csv(table: str) -> str:
    """The rows of the table as pages read them."""
    lines = ["set_ups,case,false_separation,error,promised,plain,power,covered,noisiest"]
    for line in table.splitlines()[2:]:
        number, name, found, *others = (cell.strip() for cell in line.strip("|").split("|"))
        apart, error = found.split(" ± ")
        case = CASES[name]
        told = promised(int(number), case)
        cells = (number, case, apart, error, "" if told is None else f"{told:g}", *others)
        lines.append(",".join(cells))
    return "\n".join(lines) + "\n"


def study() -> str:
    """The whole study as a table."""
    lines = [
        "| set-ups | runs and noise | false separation | plain | power | covered | noisiest |",
        "|---|---|---|---|---|---|---|",
    ]
    for count, times in SIMULATIONS.items():
        for scenario in scenarios(count):
            found = simulate(scenario, times)
            lines.append(
                f"| {count} | {scenario.name} | {found.false_separation:.1f} ± {_error(times):.1f} "
                f"| {found.plain_false_separation:.1f} | {found.power:.0f} "
                f"| {found.coverage:.1f} | {found.noisiest_coverage:.1f} |"
            )
    return "\n".join(lines)


def others() -> Iterator[tuple[int, str, str, float, float]]:
    """Set-ups, what was done, case, false separations and their standard error, both in percent."""
    times = 4000  # of each
    stopped, planned = repeated_looks(8, 6, times)
    yield 8, "stopped", "three-runs", stopped, _error(times)
    yield 8, "planned", "three-runs", planned, _error(times)
    for count, times in OVERALL_SIMULATIONS.items():
        cases = [s for s in scenarios(count) if s.name in OVERALL_CASES]
        for scenario in (*cases, shared_days_of(count, OVERALL_SHARED)):
            case = CASES[scenario.name]
            for by, found in zip(OverallBy, overall_errs(scenario, times), strict=True):
                yield count, f"overall-{by}", case, found, _error(times)


def _error(times: int) -> float:
    return 100 * math.sqrt(0.05 * 0.95 / times)


def others_csv(rows: Sequence[tuple[int, str, str, float, float]]) -> str:
    """The file that the pages read."""
    lines = ["set_ups,what,case,false_separation,error"]
    lines += [f"{n},{what},{case},{found:.1f},{error:.1f}" for n, what, case, found, error in rows]
    return "\n".join(lines) + "\n"


def main() -> None:
    """Write the tables, for people and for the pages."""
    table, rows = study(), list(others())
    TABLE.write_text(study_csv(table), encoding="utf-8")
    OTHERS.write_text(others_csv(rows), encoding="utf-8")
    (Path(__file__).parent / "SEPARATION.md").write_text(report(table, rows), encoding="utf-8")


def report(table: str, rows: Sequence[tuple[int, str, str, float, float]]) -> str:
    """``SEPARATION.md``."""
    (_, _, _, stopped, _), (_, _, _, planned, _), *overall = rows
    names = {case: name for name, case in CASES.items()}
    pairs = zip(overall[::2], overall[1::2], strict=True)
    lines = [
        f"| {n} | {names[case]} | {ratio:.1f} ± {error:.1f} | {steps:.1f} ± {error:.1f} |"
        for (n, _, case, ratio, error), (_, _, _, steps, _) in pairs
    ]
    of_overall = "\n".join(lines)
    return f"""\
# Telling equals apart: what the rule of the standings does

All set-ups are equal, so that every separation is false; figures are percentages of simulations.
*plain* is the pooled method without guard and without days. *Power* is the chance to tell the first
two set-ups apart by a shift that the plain method tells in {100 * POOLED_POWER:.0f} %; where days
or sittings differ the plain method errs, and its power is nothing to go by. *Covered* is how often
the interval of a single mean holds the truth, at a nominal 95 %; *noisiest* tells it of the
noisiest set-up. Each on its own day: the last set-up is a reference that is run once on each of
those days. Counts: {TRIES} tries a run, {100 * SHARE:.0f} % hits; spreads in units of what chance
makes a run scatter.

{table}

Eight set-ups with three runs each, then up to six more runs for the two around the third place:
stopping as soon as any two set-ups can be told apart is wrong in {stopped:.1f} %, a plan of those
runs read once at its end in {planned:.1f} %.

## The overall

Three series with equal weights, each of the case named; means are 60, a run scatters by 2, 3 and 4
in the three, and 4 is the difference that matters. Percentages of simulations in which any set-up
is told to be better than another on the bench's own floors.

| set-ups | runs and noise of each series | by ratio | in steps |
|---|---|---|---|
{of_overall}
"""


if __name__ == "__main__":
    main()
