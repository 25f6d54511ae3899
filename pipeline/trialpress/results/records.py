"""The rows of the public result tables, as design section 8 lists them.

In:  nothing.
Out: one frozen dataclass a table; its fields are the columns, in order. Figures are rounded to
     published digits; None is a figure that does not exist.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class NoResult(StrEnum):
    """Why there is no figure; readers get the words that ``view.terms`` has for it."""

    NO_REPEATS = "no-repeats"
    ALL_ALIKE = "all-alike"
    OUT_OF_RANGE = "out-of-range"
    ALL_PLANNED = "all-planned"
    ALL_VOID = "all-void"
    NONE_VALID = "none-valid"


@dataclass(frozen=True)
class CellRow:
    """``cells``: one row a set-up and series."""

    setup: str
    protocol: str
    version: int
    n: int
    mean: float
    sd: float | None
    se: float | None
    df: float | None
    low: float | None
    high: float | None
    spread: float | None
    spread_from: str
    unusual_spread: bool
    readings_known: bool
    provisional: bool
    decimals: int
    why: str | None


@dataclass(frozen=True)
class CellMeanRow:
    """``cell_means``: one row a cell, unrounded, for what is decided by it; it is not published."""

    protocol: str
    version: int
    setup: str
    mean: float
    low: float | None
    high: float | None
    interval_se: float | None
    df: float | None


@dataclass(frozen=True)
class StandingRow:
    """``standings``: one row a set-up and series; ``position`` is the order of the rows."""

    protocol: str
    version: int
    place: int
    setup: str
    machine: str
    maker: str
    mean: float
    low: float | None
    high: float | None
    n: int
    place_best: int
    place_worst: int
    chance_top: float | None
    top: str
    gap_to_first: float
    told_from_first: bool
    relation_to_first: str
    on_one_run: bool
    one_sitting: bool
    provisional: bool
    unit: str
    decimals: int
    position: int


@dataclass(frozen=True)
class ComparisonRow:
    """``comparisons``: one row an ordered pair of set-ups of a series."""

    protocol: str
    version: int
    setup: str
    other: str
    difference: float
    low: float | None
    high: float | None
    relation: str
    by_less_than_matters: bool


@dataclass(frozen=True)
class AgreementRow:
    """``agreements``: one row a series and pair of graders that graded the same zones.

    ``kappa`` is linearly weighted; None where both gave one grade to all. Its interval is None
    where the zones are few, or where the two agree on all.
    """

    protocol: str
    version: int
    grader: str
    other: str
    zones: int
    kappa: float | None
    low: float | None
    high: float | None


@dataclass(frozen=True)
class SeriesSpreadRow:
    """``spreads``: one row a series: what its intervals rest on.

    ``spread`` is the run-to-run standard deviation of measured values, that of the middle level
    where it follows the level, ``dispersion`` the factor of counts and grades; ``day_spread`` the
    standard deviation between days, 0 where the estimate came out at or below 0 and None where
    ``day_evidence`` is "one day" or "unknown"; ``sitting_spread`` that between sittings (set-up x
    day) likewise. Where only their sum is known, both are its root.
    With ``runs_to_decide`` runs of each set-up any two would be level or told apart; None where
    that takes too many. ``study_set_ups`` and ``study_case`` are the row of the study of the rules
    that the series is most like.
    """

    protocol: str
    version: int
    setups: int
    runs: int
    method: str
    spread: float | None
    dispersion: float | None
    df: float | None
    day_evidence: str
    day_spread: float | None
    day_df: float | None
    sitting_evidence: str
    sitting_spread: float | None
    sitting_df: float | None
    runs_to_decide: int | None
    study_set_ups: int | None
    study_case: str | None
    decimals: int
    why: str | None


class OverallWhy(StrEnum):
    """Why an overall has no interval, or claims nothing; words are ``view.terms``'."""

    MEAN_NOT_ABOVE_0 = "mean-not-above-0"
    MEAN_NEAR_0 = "mean-near-0"
    NO_REPEATS = "no-repeats-in-a-part"
    TOO_FEW_FLOORS = "too-few-floors"


@dataclass(frozen=True)
class OverallRow:
    """``overall``: one row a set-up, scope and way to form it; incomplete set-ups have no place.

    ``ranks`` is true for the way that the bench ranks by.
    """

    by: str
    ranks: bool
    setup: str
    machine: str
    maker: str
    scope: str
    place: int | None
    value: float | None
    low: float | None
    high: float | None
    place_best: int | None
    place_worst: int | None
    chance_top: float | None
    top: str | None
    on_one_run: bool
    one_sitting: bool
    provisional: bool
    complete: bool
    missing: str | None
    why: str | None
    decimals: int
    position: int


@dataclass(frozen=True)
class OverallScopeRow:
    """``overall_scopes``: one row a scope and way: what its overall standing rests on.

    ``interaction_pct`` is the standard deviation of how differently set-ups take to floors,
    relative, in percent, ``interaction_steps`` that in steps; None for the bench's own floors.
    ``share_of_kinds`` is how much of its variance lies between kinds of machines, None where that
    cannot be told apart. ``claims_best`` is false with fewer than three floors.
    """

    by: str
    ranks: bool
    scope: str
    series: int
    floors: int
    set_ups: int
    interaction_pct: float | None
    interaction_steps: float | None
    share_of_kinds: float | None
    claims_best: bool
    why: str | None


@dataclass(frozen=True)
class OverallShareRow:
    """``overall_shares``: one row a way and series: how much the series decides of the overall."""

    by: str
    ranks: bool
    protocol: str
    version: int
    weight: float
    set_ups: int
    share_of_weight: float
    share_of_variance: float | None
    correlation: float | None


@dataclass(frozen=True)
class OverallPartRow:
    """``overall_parts``: one row a set-up and series that an overall can take in.

    ``weight`` is the bench's own, 0 where it leaves the series out; ``standard_error`` is that of
    comparisons within the series. Steps are (mean - median) / step, ``step`` being negative where
    lower is better and None where steps cannot take the series in.
    """

    setup: str
    protocol: str
    version: int
    weight: float
    in_ratio: bool
    mean: float
    standard_error: float | None
    df: float | None
    median: float
    step: float | None


@dataclass(frozen=True)
class OverallBetterRow:
    """``overall_better``: one row a pair, the first of which the overall that ranks tells better.

    On the bench's own floors; it is not published.
    """

    setup: str
    other: str


@dataclass(frozen=True)
class DriftRow:
    """``drift``: one row a run of a reference set-up, with the limits of its control chart.

    A chart is one series, set-up and floor; ``position`` is the order of the runs in it. It has one
    value a day, the mean of the day's runs: ``day_value``, in the order ``day_position``, which the
    limits, the average, flags and notices are of. Limits are None while there are too few days.
    ``flags`` mark the day; ``notices`` only ask for a look.
    """

    protocol: str
    version: int
    setup: str
    floor: str | None
    run: str
    day: str
    at: str
    position: int
    value: float
    day_position: int
    day_value: float
    baseline: int | None
    centre: float | None
    sigma: float | None
    lower: float | None
    upper: float | None
    moving_average: float | None
    average_lower: float | None
    average_upper: float | None
    flags: str
    notices: str


@dataclass(frozen=True)
class DriftChartRow:
    """``drift_charts``: one row a control chart: what it can see, and a step in its baseline.

    Chances are those of at least one alarm on the next ``days_ahead`` days of the reference: where
    nothing has changed, and after a lasting step of ``matters``. ``step_on`` is the first day after
    the step that fits the baseline best, ``step_p`` how often chance alone fits one as well. All of
    it is None while there is no chart.
    """

    protocol: str
    version: int
    setup: str
    floor: str | None
    days: int
    baseline: int | None
    matters: float
    days_ahead: int
    chance_of_false_alarm: float | None
    chance_to_see: float | None
    step_on: str | None
    step_size: float | None
    step_p: float | None


@dataclass(frozen=True)
class RunResultRow:
    """``run_results``: one row a valid run."""

    run: str
    day: str
    at: str
    setup: str
    protocol: str
    version: int
    series_version: int
    value: float
    u_value: float | None
    unit: str
    flags: str
    file: str
    row: int
