"""What intervals cover where the spread of runs goes with the level of the mean.

In:  nothing; set-ups at different levels are simulated.
Out: ``LEVELS.md`` beside this file.

Run as ``python tests/audit/level_study.py``; ``make audit`` does.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from trialpress.results.cells import Cell, all_days, all_setups, all_values
from trialpress.results.days import between_day_spread
from trialpress.results.levels import SpreadByLevel
from trialpress.results.metric import metric_differences, metric_means, series_spread
from trialpress.results.spread import Floats, Spread, pooled_spread

CONFIDENCE = 0.95
HEAD = (
    "| set-ups | spread, lowest over highest | rule | seen | covered: lowest third | middle "
    "| highest | a wrong difference | told |"
)
SIMULATIONS = {16: 700, 20: 700, 45: 200}


@dataclass(frozen=True)
class ByLevel:
    """Set-ups whose spread goes with the level; each figure as the rule has it, and pooled.

    Coverage in percent in the thirds of the set-ups by level, lowest first; ``wrong`` is the share
    of series with any difference whose interval does not hold it, ``told`` the mean number of
    differences told, ``follows`` the share of series where the rule saw the relation.
    """

    covered: tuple[float, float, float]
    wrong: float
    told: float
    follows: float


def by_level(count: int, ratio: float, times: int, seed: int = 20310302) -> tuple[ByLevel, ByLevel]:
    """Levels from 80 to 98, three runs each; the lowest scatters ``ratio`` times as the highest."""
    draws = np.random.default_rng(seed)
    levels: Floats = np.linspace(80, 98, count)
    noise: Floats = np.geomspace(ratio, 1, count)
    ours, pooled = [], []
    for _ in range(times):
        cells = []
        for number, (level, spread) in enumerate(zip(levels, noise, strict=True)):
            unknown, days = np.full(3, np.nan), np.zeros(3, dtype=np.int64)
            values = draws.normal(level, spread, 3)
            cells.append(Cell(f"{number}", values, unknown, unknown, days, unknown))
        day = between_day_spread(all_values(cells), all_setups(cells), all_days(cells))
        ours.append(_at_levels(cells, levels, series_spread(cells, day)))
        pooled.append(_at_levels(cells, levels, pooled_spread([one.values for one in cells])))
    return _by_level(ours), _by_level(pooled)


def _at_levels(cells: Sequence[Cell], levels: Floats, spread: Spread) -> Floats:
    """Coverage in thirds; whether a difference is wrong; how many are told; whether it follows."""
    day = between_day_spread(all_values(cells), all_setups(cells), all_days(cells))
    means = metric_means(cells, spread, day, CONFIDENCE)
    between = metric_differences(cells, means, spread, day, CONFIDENCE)
    true = levels[:, None] - levels[None, :]
    covers = (means.low <= levels) & (levels <= means.high)
    thirds = [float(np.mean(third)) for third in np.array_split(covers, 3)]
    wrong = bool(np.any((between.low > true) | (between.high < true)))
    told = int(between.is_larger.sum())
    return np.array([*thirds, wrong, told, isinstance(spread, SpreadByLevel)], dtype=np.float64)


def _by_level(found: Sequence[Floats]) -> ByLevel:
    low, middle, high, wrong, told, follows = np.mean(found, axis=0).tolist()
    return ByLevel((100 * low, 100 * middle, 100 * high), 100 * wrong, told, 100 * follows)


def study() -> str:
    """The whole study as a table."""
    lines = [
        HEAD,
        "|---|---|---|---|---|---|---|---|---|",
    ]
    for count, times in SIMULATIONS.items():
        for ratio in (1.0, 3.0, 5.0):
            for name, found in zip(("ours", "pooled"), by_level(count, ratio, times), strict=True):
                covered = " | ".join(f"{share:.1f}" for share in found.covered)
                lines.append(
                    f"| {count} | {ratio:g} | {name} | {found.follows:.0f} | {covered} "
                    f"| {found.wrong:.1f} | {found.told:.1f} |"
                )
    return "\n".join(lines)


def main() -> None:
    """Write the table."""
    text = f"""\
# Where the spread of runs goes with the level

Three runs each of set-ups whose true means lie evenly between 80 and 98, and whose spread goes down
with the level, by equal ratios. *ours* lets the spread follow the level where it plainly does
(*seen*, percent of simulations), *pooled* has one spread for all and guards comparisons likewise.
*Covered* is how often the interval of a mean holds the truth, at a nominal 95 %; *a wrong
difference* how often any interval of all differences of a series does not, at a nominal 5 %; *told*
how many differences are told.

{study()}
"""
    (Path(__file__).parent / "LEVELS.md").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
