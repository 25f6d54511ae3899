"""What the study of the rules says of a series like one: how often such a series errs.

In:  a ranking, and ``study.csv`` and ``study_others.csv``, which
     ``tests/audit/separation_study.py`` writes.
Out: the rows of the study, and for a series the one that fits it least favourably.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

import numpy as np
from scipy import special

from trialpress.intake.textfile import named_rows
from trialpress.results.cells import run_counts
from trialpress.results.ranking import Ranking
from trialpress.results.spread import Floats

HALF, WHOLE = 0.25, 0.75
"""Spreads of days or sittings beside that of runs, from which the study's .5 and 1 are nearest."""
UNEVEN_LEVEL = 0.05
SINGLES = 1 / 3
FEW_RUNS = 2


@dataclass(frozen=True)
class StudyRow:
    """One case of the study for one number of set-ups; figures in percent.

    ``error`` is the standard error of ``false_separation``; ``promised`` is what is promised of it,
    None where nothing is. ``plain`` is the method without guard and without days.
    """

    set_ups: int
    case: str
    false_separation: float
    error: float
    promised: float | None
    plain: float
    power: float
    covered: float
    noisiest: float


@cache
def study_rows() -> tuple[StudyRow, ...]:
    """The whole study, in its order."""
    text = files("trialpress.results").joinpath("study.csv").read_text(encoding="utf-8")
    return tuple(_row(row) for row in named_rows(text)[1])


def _row(row: dict[str, str]) -> StudyRow:
    return StudyRow(
        set_ups=int(row["set_ups"]),
        case=row["case"],
        false_separation=float(row["false_separation"]),
        error=float(row["error"]),
        promised=float(row["promised"]) if row["promised"] else None,
        plain=float(row["plain"]),
        power=float(row["power"]),
        covered=float(row["covered"]),
        noisiest=float(row["noisiest"]),
    )


@dataclass(frozen=True)
class OtherStudyRow:
    """What else was studied of equal set-ups; figures in percent.

    ``what`` is stopped (looking after every extra run), planned (the same runs read once), or the
    overall by ratio or in steps, over three series of the case.
    """

    set_ups: int
    what: str
    case: str
    false_separation: float
    error: float


@cache
def other_study_rows() -> tuple[OtherStudyRow, ...]:
    """Repeated looks and the overall, in their order."""
    text = files("trialpress.results").joinpath("study_others.csv").read_text(encoding="utf-8")
    return tuple(
        OtherStudyRow(
            set_ups=int(row["set_ups"]),
            what=row["what"],
            case=row["case"],
            false_separation=float(row["false_separation"]),
            error=float(row["error"]),
        )
        for row in named_rows(text)[1]
    )


def nearest_row(ranking: Ranking) -> StudyRow | None:
    """The case of the study that a series is most like; the one that errs most, of several.

    Returns
    -------
    StudyRow or None
        None where nothing is told apart at all: without a spread, or with one set-up.
    """
    if ranking.why is not None or len(ranking.cells) < FEW_RUNS:
        return None
    rows, cases = _of_number(len(ranking.cells)), set(_cases(ranking))
    fitting = [row for row in rows if row.case in cases]
    return max(fitting, key=lambda row: row.false_separation)


def _of_number(set_ups: int) -> Sequence[StudyRow]:
    """The rows whose number of set-ups is nearest, by ratio."""
    numbers = {row.set_ups for row in study_rows()}
    nearest = min(sorted(numbers), key=lambda number: abs(math.log(number / set_ups)))
    return [row for row in study_rows() if row.set_ups == nearest]


def _cases(ranking: Ranking) -> Iterator[str]:
    """Every case that fits a series: by its days and sittings, and by its runs and noise."""
    day = ranking.day
    counts = "counts-" if ranking.dispersion is not None else ""
    of_runs = _run_variance(ranking)
    sittings = math.sqrt(day.sitting_variance / of_runs)
    days = math.sqrt(day.day_variance / of_runs)
    if sittings >= HALF:
        yield f"{counts}sittings-{1 if sittings >= WHOLE else 0.5}"
    if days >= HALF and not counts:
        yield f"own-days-{1 if days >= WHOLE else 0.5}"
    if counts:
        yield f"counts-days-{1 if days >= WHOLE else 0}"
    else:
        yield _case_of_noise(ranking)


def _run_variance(ranking: Ranking) -> float:
    """Variance of a run; of shares, what chance alone makes of the tries of a run."""
    if ranking.spread is not None:
        return ranking.spread.sd**2
    tries = np.concatenate([cell.tries for cell in ranking.cells])
    share = float(np.mean(ranking.means.mean)) / 100
    return max(1e4 * share * (1 - share) * float(np.mean(1 / tries)), 1e-12)


def _case_of_noise(ranking: Ranking) -> str:
    n = run_counts(ranking.cells)
    if bool(ranking.is_unusual.any()):
        return "one-noisy"
    spread = [cell.values for cell in ranking.cells if cell.n > 1 and np.ptp(cell.values) > 0]
    if len(spread) > 1 and chance_of_equal_spreads(spread) < UNEVEN_LEVEL:
        return "threefold"
    if float(np.mean(n == 1)) >= SINGLES:
        return "singles"
    if n.min() != n.max():
        return "mixed"
    return "two-runs" if n.max() <= FEW_RUNS else "three-runs"


def chance_of_equal_spreads(groups: Sequence[Floats]) -> float:
    """Chance that normal groups of one variance differ in theirs by as much, or more.

    Parameters
    ----------
    groups : sequence of ndarray, shapes (n_i,)
        Two groups at least, of two values at least, none of them all alike.

    Notes
    -----
    Source: Bartlett, Proc. R. Soc. A 160 (1937) 268; NIST/SEMATECH e-Handbook, 1.3.5.7.
    """
    df = np.array([len(group) - 1 for group in groups], dtype=np.float64)
    variance = np.array([group.var(ddof=1) for group in groups])
    pooled = float(df @ variance / df.sum())
    statistic = df.sum() * math.log(pooled) - float(df @ np.log(variance))
    correction = 1 + (float(np.sum(1 / df)) - 1 / float(df.sum())) / (3 * (len(groups) - 1))
    return float(special.chdtrc(len(groups) - 1, statistic / correction))
