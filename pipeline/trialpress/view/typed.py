"""Records of what was typed: the catalogue, runs and readings.

In:  nothing; ``View`` fills them from ``queries/*.sql``, whose columns are these fields.
Out: the record types.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from trialpress.view.names import SeriesKey, SeriesName
from trialpress.words import message, say


@dataclass(frozen=True)
class Maker:
    """One maker."""

    maker: str
    name: str
    website: str | None


@dataclass(frozen=True)
class Machine:
    """One machine, with the first day it ran on this bench (None before its first run)."""

    machine: str
    maker: str
    name: str
    kind: str
    released: date | None
    price: float | None
    currency: str | None
    priced_on: date | None
    acquired: str
    head: str | None
    mop: str | None
    note: str | None
    first_day: date | None


@dataclass(frozen=True)
class Setup:
    """One machine as configured for its runs."""

    setup: str
    machine: str
    label: str
    brushes: str | None
    mode: str | None
    pattern: str | None
    overlap: str | None
    water: str | None
    firmware: str | None
    specimen: str | None
    stock: bool
    reference: bool
    publish_on: date | None


@dataclass(frozen=True)
class Floor:
    """One floor of the bench; ``called`` are readers' words for it, joined by ``|``."""

    floor: str
    name: str
    covering: str
    pile_mm: float | None
    called: str | None
    laid_on: date | None
    lifted_on: date | None
    note: str | None


@dataclass(frozen=True)
class Instrument:
    """One instrument, the unit it shows, and when it was calibrated."""

    instrument: str
    quantity: str
    unit: str
    calibrated_on: date | None


@dataclass(frozen=True)
class Protocol:
    """One version of one protocol, with what its soil is and the series it belongs to."""

    protocol: str
    version: int
    series_version: int
    is_current: bool
    title: str
    reading: str
    kinds: str | None
    floor: str | None
    soil: str | None
    soil_grade: str | None
    soil_standard: str | None
    soil_hazard: str | None
    dose_g: float | None
    dose_tolerance_g: float | None
    passes: int | None
    minutes: float | None
    clean_limit: int | None
    zones: int | None
    unit: str
    better: str
    min_runs: int
    matters: float
    from_date: date
    to_date: date | None
    continues: bool
    in_overall: float

    @property
    def key(self) -> SeriesKey:
        """Protocol and version; those of the series, where this is its newest version."""
        return self.protocol, self.version

    @property
    def name(self) -> SeriesName:
        """What it is called, and what its figures are in."""
        return SeriesName(
            self.protocol, self.version, self.title, self.unit, self.better, self.is_current
        )


@dataclass(frozen=True)
class Run:
    """One run of any status."""

    run: str
    day: str
    day_date: date
    at: str
    setup: str
    protocol: str
    version: int
    series_version: int
    reading: str
    reading_table: str
    unit: str
    status: str
    reason: str | None
    clip: str | None
    operator: str | None
    note: str | None
    file: str
    row: int


@dataclass(frozen=True)
class Claim:
    """A figure from a spec sheet, with the digits it was typed with."""

    claim: str
    machine: str
    quantity: str
    value: str
    unit: str
    source: str
    stated_on: date


@dataclass(frozen=True)
class Correction:
    """One corrected value; several may bear one ``correction``, and were made together."""

    correction: str
    table: str
    row: str
    column: str
    corrected_on: date
    was: str | None
    now: str | None
    why: str


@dataclass(frozen=True)
class Photo:
    """One photo of a run, and the file it is in."""

    photo: str
    run: str
    day: str
    file: str
    caption: str
    alt: str


@dataclass(frozen=True)
class Film:
    """One film about results, and where it can be watched."""

    film: str
    title: str
    address: str
    published_on: date | None

    @property
    def whole(self) -> str:
        """Where it begins."""
        return self.address.replace(SECONDS, "0")

    def second(self, seconds: int) -> str:
        """The address of one second of it.

        Source: W3C Media Fragments URI 1.0, 4.2.1 (normal play time), unless the address has a
        place of its own for the seconds.
        """
        if SECONDS in self.address:
            return self.address.replace(SECONDS, str(seconds))
        return f"{self.address}{'&' if '#' in self.address else '#'}t={seconds}"


SECONDS = "{seconds}"
"""Where an address says at which second a film is to start."""


@dataclass(frozen=True)
class FilmMark:
    """What a film shows from a time on: a run, a set-up, a protocol, or what the label says."""

    film: str
    at: str
    label: str
    run: str | None
    setup: str | None
    protocol: str | None

    @property
    def seconds(self) -> int:
        """The time in seconds from the film's beginning."""
        hours, minutes, seconds = map(int, self.at.split(":"))
        return 3600 * hours + 60 * minutes + seconds

    @property
    def shows(self) -> tuple[str, str] | None:
        """What it shows: the column that says so, and the slug in it."""
        shown = (("run", self.run), ("setup", self.setup), ("protocol", self.protocol))
        return next(((column, slug) for column, slug in shown if slug is not None), None)


@dataclass(frozen=True)
class Warned:
    """A warning of intake on a row that is published all the same."""

    file: str
    row: int | None
    column: str | None
    value: str | None
    problem: str


@dataclass(frozen=True)
class Reading:
    """One reading of a run, with the digits it was typed with; a grade has a zone and a grader."""

    run: str
    position: int
    what: str
    zone: str | None
    grader: str | None
    typed: str
    unit: str

    @property
    def name(self) -> str:
        """What was read, in words."""
        if self.what == "zone":
            return say("zone {zone}, {grader}", zone=self.zone, grader=self.grader)
        return say(READING_NAMES[self.what])


READING_NAMES = {
    # For translators: a mass that was weighed, before its figure: "dose 60.2 g".
    "dose": message("dose"),
    # For translators: a mass that was weighed, before its figure: "before 1204.5 g".
    "before": message("before"),
    # For translators: a mass that was weighed, before its figure: "after 1260.1 g".
    "after": message("after"),
    # For translators: a mass that was weighed, before its figure: "gain 55.6 g".
    "gain": message("gain"),
    # For translators: the gain of an untreated control, before its figure: "blank 0.2 g".
    "blank": message("blank"),
    # For translators: how often something was hit, before its figure: "hits 17".
    "hits": message("hits"),
    # For translators: how often something was tried, before its figure: "tries 20".
    "tries": message("tries"),
    # For translators: a value as read, before its figure: "value 61.5 dB".
    "value": message("value"),
}
