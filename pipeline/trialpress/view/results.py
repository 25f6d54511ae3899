"""Records of what results worked out: standings, spreads, overall, makers, drift, movements.

In:  nothing; ``View`` fills them from ``queries/*.sql``, whose columns are these fields.
Out: the record types.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from trialpress.view.names import SeriesKey


@dataclass(frozen=True)
class RunResult:
    """What one valid run gave, in the protocol's unit; ``u_value`` is None where it is unknown."""

    run: str
    value: float
    u_value: float | None
    flags: str


@dataclass(frozen=True)
class Standing:
    """A set-up's place in a series, with its interval."""

    protocol: str
    version: int
    position: int
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
    relation_to_first: str
    on_one_run: bool
    one_sitting: bool
    provisional: bool
    decimals: int
    unit: str
    unusual_spread: bool
    why: str | None

    @property
    def key(self) -> SeriesKey:
        """Protocol and version of the series."""
        return self.protocol, self.version


@dataclass(frozen=True)
class SeriesSpread:
    """What the intervals of one series rest on.

    ``spread_least`` and ``spread_most`` are those of its cells.
    """

    protocol: str
    version: int
    method: str
    spread: float | None
    spread_least: float | None
    spread_most: float | None
    dispersion: float | None
    day_evidence: str
    day_spread: float | None
    sitting_evidence: str
    sitting_spread: float | None
    runs_to_decide: int | None
    study_set_ups: int | None
    study_case: str | None
    setups: int
    matters: float
    decimals: int
    unit: str
    why: str | None


@dataclass(frozen=True)
class GraderPair:
    """How far two graders of a series agree; as ``agreements``."""

    protocol: str
    version: int
    grader: str
    other: str
    zones: int
    kappa: float | None
    low: float | None
    high: float | None


@dataclass(frozen=True)
class NotRanked:
    """A set-up with rows in a series but no valid run."""

    protocol: str
    version: int
    setup: str
    why: str


@dataclass(frozen=True)
class Overall:
    """A set-up's place over all series that count for the overall."""

    position: int
    setup: str
    place: int
    mean: float
    low: float | None
    high: float | None
    place_best: int
    place_worst: int
    top: str
    on_one_run: bool
    one_sitting: bool
    provisional: bool
    decimals: int
    why: str | None
    like_place: int | None
    like_best: int | None
    like_worst: int | None


@dataclass(frozen=True)
class OverallScope:
    """What the overall of one scope rests on: ``bench`` or ``floors like these``."""

    scope: str
    floors: int
    interaction_pct: float | None
    claims_best: bool
    why: str | None


@dataclass(frozen=True)
class OverallPart:
    """A set-up's mean in one series that an overall can take in, whatever the bench's weight."""

    setup: str
    protocol: str
    version: int
    weight: float
    mean: float
    standard_error: float | None
    df: float | None
    in_ratio: bool
    median: float
    step: float | None


@dataclass(frozen=True)
class OverallShare:
    """How much one series decides of the overall."""

    protocol: str
    version: int
    weight: float
    share_of_weight: float
    share_of_variance: float | None
    correlation: float | None


@dataclass(frozen=True)
class Incomplete:
    """A set-up without an overall place, and the titles of the series it misses."""

    setup: str
    missing: str


@dataclass(frozen=True)
class MakerOverview:
    """One maker in one series: how many set-ups were tried, and how they did."""

    maker: str
    protocol: str
    version: int
    setups: int
    best_setup: str
    best: float
    median: float
    worst: float
    in_top_cut: int
    unit: str
    decimals: int


@dataclass(frozen=True)
class DriftRun:
    """One run of a reference set-up, with the limits of its control chart where it has one.

    The chart is one of days: ``day_value`` is the mean of the day's runs.
    """

    protocol: str
    version: int
    setup: str
    floor: str | None
    run: str
    day: str
    day_date: date
    at: str
    position: int
    value: float
    day_position: int
    day_value: float
    baseline: int | None
    centre: float | None
    lower: float | None
    upper: float | None
    moving_average: float | None
    average_lower: float | None
    average_upper: float | None
    flags: str
    notices: str
    decimals: int

    @property
    def key(self) -> tuple[str, int, str, str | None]:
        """The chart the run is in."""
        return self.protocol, self.version, self.setup, self.floor


@dataclass(frozen=True)
class DriftChart:
    """What one control chart can see, and the step that fits its baseline best."""

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
    step_on: date | None
    step_size: float | None
    step_p: float | None
    decimals: int

    @property
    def key(self) -> tuple[str, int, str, str | None]:
        """The chart it is."""
        return self.protocol, self.version, self.setup, self.floor


@dataclass(frozen=True)
class Movement:
    """A set-up that moved, or is new, since a date ``bench_days`` bench days ago.

    ``is_within`` where the place it had is still among those that its runs leave open.
    """

    since: date
    bench_days: int
    protocol: str
    version: int
    setup: str
    change: str
    is_pushed: bool
    is_within: bool
