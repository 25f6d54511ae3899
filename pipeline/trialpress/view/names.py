"""What makers, machines, set-ups and series are called, everywhere.

In:  rows of the catalogue.
Out: ``Names``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from trialpress.words import say

OVERALL = "overall"
SeriesKey = tuple[str, int]


@dataclass(frozen=True)
class SetupName:
    """A set-up with its machine and maker; ``label`` tells it from others of the machine."""

    setup: str
    label: str
    machine: str
    machine_name: str
    maker: str
    maker_name: str

    @property
    def full(self) -> str:
        """``Maker Machine (label)``."""
        return f"{self.maker_name} {self.of_maker}"

    @property
    def of_maker(self) -> str:
        """``Machine (label)``, where the maker is known already."""
        return f"{self.machine_name} ({self.label})"


@dataclass(frozen=True)
class SeriesName:
    """A series with what its figures are in."""

    protocol: str
    version: int
    title: str
    unit: str
    better: str
    is_current: bool

    @property
    def full(self) -> str:
        """The title, with the version of an earlier series."""
        if self.is_current:
            return self.title
        return say("{title}, version {version}", title=self.title, version=self.version)

    @property
    def higher_is_better(self) -> bool:
        """Whether more is better."""
        return self.better == "higher"


@dataclass(frozen=True)
class Names:
    """Names by slug; ``confidence`` is that of all intervals."""

    setups: Mapping[str, SetupName]
    machines: Mapping[str, str]
    makers: Mapping[str, str]
    series: Mapping[SeriesKey, SeriesName]
    confidence: float

    def title(self, key: SeriesKey) -> str:
        """What a series is called; the overall too."""
        is_overall = key[0] == OVERALL and key[1] == 0
        return say("the overall") if is_overall else self.series[key].full
