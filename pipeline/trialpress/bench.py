"""The bench folder: where things lie.

In:  the folder a tester works in.
Out: paths. What the files in it say is read by ``intake``.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

CATALOGUE_TABLES = (
    "makers",
    "machines",
    "setups",
    "floors",
    "soils",
    "instruments",
    "protocols",
    "claims",
)
READING_TABLES = ("weighings", "values", "counts", "gradings")
DAY_TABLES = (*READING_TABLES, "conditions", "photos")
TABLES = (*CATALOGUE_TABLES, *DAY_TABLES, "corrections")


@dataclass(frozen=True)
class Bench:
    """Where everything in one bench folder lies."""

    root: Path

    @property
    def data(self) -> Path:
        """The folder with everything typed by hand."""
        return self.root / "data"

    @property
    def settings_file(self) -> Path:
        """``bench.toml``."""
        return self.data / "bench.toml"

    @property
    def catalogue(self) -> Path:
        """The slow-changing package: makers, machines, protocols and so on."""
        return self.data / "catalogue"

    @property
    def days(self) -> Path:
        """The folder of bench days."""
        return self.data / "days"

    @property
    def corrections_file(self) -> Path:
        """``corrections.csv``."""
        return self.data / "corrections.csv"

    @property
    def own_templates(self) -> Path:
        """Templates with which a bench replaces the site's own, one by one."""
        return self.root / "site_templates"

    def name_of(self, path: Path) -> str:
        """The path as findings print it: relative to the bench, with ``/``."""
        return path.relative_to(self.root).as_posix()


@dataclass(frozen=True)
class Settings:
    """What ``bench.toml`` says.

    ``confidence`` is the two-sided level of every interval; ``top_n`` the number of places in the
    top cut; ``notice`` is shown on every page, for a bench whose data are invented, say.
    """

    format: int
    name: str
    base_url: str
    time_zone: str
    licence: str
    contact: str
    currency: str
    top_n: int
    confidence: float
    disclosure: str
    notice: str | None
    single_runs: str
