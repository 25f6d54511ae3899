"""A rule for runs that lie far from the others of their set-up.

In:  the results of valid runs, series by series.
Out: warnings. Nothing is left out because of one; it asks for another look at the readings.

How far is far comes from the runs: their robust spread within set-ups, which a few wrong values do
not move, and a t quantile that one series in a thousand exceeds anywhere by chance. A set-up on one
run has nothing to be compared with; of it only a slip is named, one that puts the result far out of
the field and undone into it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from statistics import fmean, median, stdev

from trialpress.intake.findings import Finding, FindingCode, found
from trialpress.intake.rules.records import BenchRecords
from trialpress.intake.rules.result import Result, results_of
from trialpress.intake.rules.slips import likely_slip

CHANCE = 0.001
"""Of naming any run of a series where nothing is wrong. *Common practice, no source.*"""
_CLOSE = 1e-9
_MOST_ROUNDS = 200
_FEWEST_FREE = 5
_FIELD_FAR, _FIELD_NEAR = 6.0, 3.0
_FEWEST_SETUPS = 5


@dataclass(frozen=True)
class FarOff:
    """A result further from ``centre`` than ``limit``, and how many others the centre is of.

    The others are runs of the set-up, or set-ups of the series where ``is_of_field``.
    """

    result: Result
    centre: float
    limit: float
    others: int
    is_of_field: bool = False


def check_far_off(records: BenchRecords) -> Iterator[Finding]:
    """Look at every run of every series."""
    for series in _by_series(records):
        cells = _by_setup(series)
        far = _far_from_own(cells)
        for far_off in far:
            yield _finding(
                far_off,
                likely_slip(far_off.result, far_off.centre, far_off.limit / 3)
                or _swap(far_off, far),
            )
        for far_off in _far_from_field(cells):
            slip = likely_slip(far_off.result, far_off.centre, far_off.limit)
            if slip:
                yield _finding(far_off, slip)


def _by_series(records: BenchRecords) -> Iterator[list[Result]]:
    def key(result: Result) -> tuple[str, int]:
        return (result.protocol.protocol, records.series_start(result.protocol))

    for _, series in groupby(sorted(results_of(records), key=key), key=key):
        yield list(series)


def _by_setup(series: Iterable[Result]) -> Mapping[str, list[Result]]:
    cells: dict[str, list[Result]] = {}
    for result in series:
        cells.setdefault(result.run.setup, []).append(result)
    return cells


def _far_from_own(cells: Mapping[str, list[Result]]) -> list[FarOff]:
    """The furthest run of a set-up first, then of those that are left."""
    spread = _spread(cells.values())
    if spread is None:
        return []
    field = median(_values([result for cell in cells.values() for result in cell]))
    far = []
    for cell in cells.values():
        left = list(cell)
        while (far_off := _furthest(left, field, *spread)) is not None:
            far.append(far_off)
            left.remove(far_off.result)
    return far


def _spread(cells: Iterable[Sequence[Result]]) -> tuple[float, float] | None:
    """Robust spread of runs within set-ups, and the t quantile; ``None`` with too few runs.

    A run's distance from the median of its n runs is widened by sqrt(n / (n - 1)), as it takes part
    in that median.
    """
    from scipy import special  # noqa: PLC0415, it takes a tenth of a second to import

    several = [_values(cell) for cell in cells if len(cell) > 1]
    free = sum(len(values) - 1 for values in several)
    if free < _FEWEST_FREE:
        return None
    distances = [
        (value - median(values)) * math.sqrt(len(values) / (len(values) - 1))
        for values in several
        for value in values
    ]
    _, sd = algorithm_a(distances)
    looks = sum(len(values) for values in several)
    return None if sd == 0 else (sd, float(special.stdtrit(free, 1 - CHANCE / 2 / looks)))


def _furthest(cell: Sequence[Result], field: float, sd: float, quantile: float) -> FarOff | None:
    """The run of a set-up that is furthest from its others, if it is too far.

    Of two runs either is as far from the other: the one further from the field is named.
    """
    if len(cell) < 2:  # noqa: PLR2004  one run has no others
        return None

    def distance(result: Result) -> tuple[float, float]:
        others = _values([other for other in cell if other is not result])
        value = float(result.value)
        return abs(value - median(others)), abs(value - field)

    worst = max(cell, key=distance)
    others = _values([other for other in cell if other is not worst])
    own = stdev(others) if len(others) > 2 else 0.0  # noqa: PLR2004  two say too little of a spread
    limit = quantile * max(sd, own) * math.sqrt(1 + 1 / len(others))
    is_far = distance(worst)[0] > limit
    return FarOff(worst, median(others), limit, len(others)) if is_far else None


def _far_from_field(cells: Mapping[str, list[Result]]) -> Iterator[FarOff]:
    """Set-ups on one run that are out of the field."""
    if len(cells) < _FEWEST_SETUPS:
        return
    centre, sd = algorithm_a([median(_values(cell)) for cell in cells.values()])
    for cell in cells.values():
        if len(cell) == 1 and sd > 0 and abs(float(cell[0].value) - centre) > _FIELD_FAR * sd:
            yield FarOff(cell[0], centre, _FIELD_NEAR * sd, len(cells) - 1, is_of_field=True)


def _swap(far_off: FarOff, far: Iterable[FarOff]) -> str:
    """Whether two runs of one day fit once their set-ups are exchanged."""
    for other in far:
        is_crossed = (
            other.result.run.setup != far_off.result.run.setup
            and other.result.run.day == far_off.result.run.day
            and abs(float(far_off.result.value) - other.centre) <= other.limit
            and abs(float(other.result.value) - far_off.centre) <= far_off.limit
        )
        if is_crossed:
            return f"its set-up and that of {other.result.run.run} look exchanged"
    return ""


def _values(results: Iterable[Result]) -> list[float]:
    return [float(result.value) for result in results]


def _finding(far_off: FarOff, slip: str) -> Finding:
    run = far_off.result.run
    texts = {
        "result": _shown(float(far_off.result.value)),
        "unit": far_off.result.protocol.unit,
        "centre": _shown(far_off.centre),
        "limit": _shown(far_off.limit),
        "setup": run.setup,
        "others": str(far_off.others),
        "slip": slip,
    }
    variant = "field" if far_off.is_of_field else "slip" if slip else ""
    place = run.place(far_off.result.column)
    return found(
        FindingCode.RUN_FAR_OFF, place, run.text(far_off.result.column), variant=variant, **texts
    )


def _shown(number: float) -> str:
    """A result for a sentence, to four significant digits."""
    return f"{float(f'{number:.4g}'):g}"


def algorithm_a(values: Sequence[float]) -> tuple[float, float]:
    """Robust mean and standard deviation of at least two values.

    Parameters
    ----------
    values : sequence of float, length 2 or more

    Returns
    -------
    tuple of float
        Mean and standard deviation; the latter is 0 where more than half of the values are equal.

    Notes
    -----
    Source: ISO 13528, annex C.3, algorithm A: values further than 1.5 standard deviations from the
    mean are taken at that distance, until nothing moves. 1.483 and 1.134 make both estimates
    consistent for the normal distribution.
    """
    mean = median(values)
    sd = 1.483 * median(abs(value - mean) for value in values)
    for _ in range(_MOST_ROUNDS):
        if sd == 0:
            break
        low, high = mean - 1.5 * sd, mean + 1.5 * sd
        kept = [min(max(value, low), high) for value in values]
        before, mean = (mean, sd), fmean(kept)
        sd = 1.134 * math.sqrt(math.fsum((x - mean) ** 2 for x in kept) / (len(values) - 1))
        if abs(mean - before[0]) + abs(sd - before[1]) <= _CLOSE * sd:
            break
    return mean, sd
