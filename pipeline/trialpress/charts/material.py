"""What the charts are drawn from.

In:  the store, with results.
Out: ``Material``: series, standings, overall values and runs, in the order results decided.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from trialpress.charts import wording
from trialpress.charts.fitting import fit
from trialpress.charts.panels_form import PANEL_WIDTH
from trialpress.charts.style import SMALL_TEXT_SIZE
from trialpress.store import Store, read_sql


@dataclass(frozen=True)
class Series:
    """One series with standings."""

    protocol: str
    version: int
    title: str
    unit: str
    better: str
    is_current: bool

    @property
    def key(self) -> tuple[str, int]:
        """Protocol and version."""
        return self.protocol, self.version


@dataclass(frozen=True)
class Standing:
    """One set-up's place and value in one series."""

    protocol: str
    version: int
    position: int
    setup: str
    label: str
    stock: bool
    machine: str
    machine_name: str
    maker: str
    maker_name: str
    mean: float
    low: float | None
    high: float | None
    place_best: int
    place_worst: int
    top: str
    on_one_run: bool
    provisional: bool
    decimals: int

    @property
    def key(self) -> tuple[str, int]:
        """Protocol and version of the series."""
        return self.protocol, self.version


@dataclass(frozen=True)
class OverallValue:
    """One set-up's place and value over all series that count."""

    position: int
    setup: str
    label: str
    machine_name: str
    maker_name: str
    mean: float
    low: float | None
    high: float | None
    place_best: int
    place_worst: int
    top: str
    on_one_run: bool
    provisional: bool
    decimals: int


@dataclass(frozen=True)
class Run:
    """The value of one valid run."""

    run: str
    day: str
    setup: str
    protocol: str
    version: int
    value: float

    @property
    def key(self) -> tuple[str, int]:
        """Protocol and version of the series."""
        return self.protocol, self.version


@dataclass(frozen=True)
class Material:
    """Everything that charts show, and the two settings they tell it with."""

    confidence: float
    top_n: int
    series: Sequence[Series]
    standings: Sequence[Standing]
    overall: Sequence[OverallValue]
    runs: Sequence[Run]

    def standings_in(self, series: Series) -> list[Standing]:
        """The standings of one series, first to last."""
        return [standing for standing in self.standings if standing.key == series.key]

    def heading(self, series: Series) -> str:
        """The heading of a series in a chart of several, told apart from all others."""
        title = self._title(series)
        namesakes = {one.protocol for one in self.series if self._title(one) == title}
        apart = wording.apart(
            version=None if series.is_current else series.version,
            protocol=series.protocol if len(namesakes) > 1 else None,
        )
        return f"{title}\n{wording.unit_and_direction(series.unit, series.better)}{apart}"

    @staticmethod
    def _title(series: Series) -> str:
        return fit(series.title, PANEL_WIDTH, SMALL_TEXT_SIZE)


def read_material(store: Store) -> Material:
    """Read everything the charts need, once."""
    return Material(
        confidence=store.settings.confidence,
        top_n=store.settings.top_n,
        series=store.records(Series, _query("series")),
        standings=store.records(Standing, _query("standings")),
        overall=store.records(OverallValue, _query("overall")),
        runs=store.records(Run, _query("runs")),
    )


def _query(name: str) -> str:
    return read_sql("trialpress.charts", f"queries/{name}.sql")
