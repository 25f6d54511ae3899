"""The rows of every file in the demo bench, as a tester types them.

In:  text for each column, blank where nothing is typed.
Out: one frozen dataclass a table; its fields are the file's columns, in their order.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Maker:
    """One row of ``makers.csv``."""

    maker: str
    name: str
    website: str = ""


@dataclass(frozen=True)
class Machine:
    """One row of ``machines.csv``."""

    machine: str
    maker: str
    name: str
    kind: str
    released: str = ""
    price: str = ""
    currency: str = ""
    priced_on: str = ""
    acquired: str = ""
    head: str = ""
    mop: str = ""
    note: str = ""


@dataclass(frozen=True)
class Setup:
    """One row of ``setups.csv``."""

    setup: str
    machine: str
    label: str
    brushes: str = ""
    mode: str = ""
    pattern: str = ""
    overlap: str = ""
    water: str = ""
    firmware: str = ""
    specimen: str = ""
    stock: str = "true"
    reference: str = "false"
    publish_on: str = ""


@dataclass(frozen=True)
class Floor:
    """One row of ``floors.csv``."""

    floor: str
    name: str
    covering: str
    pile_mm: str = ""
    called: str = ""
    laid_on: str = ""
    lifted_on: str = ""
    note: str = ""


@dataclass(frozen=True)
class Soil:
    """One row of ``soils.csv``."""

    soil: str
    name: str
    material: str
    grade: str = ""
    standard: str = ""
    hazard: str = ""


@dataclass(frozen=True)
class Instrument:
    """One row of ``instruments.csv``."""

    instrument: str
    quantity: str
    unit: str
    resolution: str
    calibrated_on: str = ""
    calibration_u: str = ""


@dataclass(frozen=True)
class Protocol:
    """One row of ``protocols.csv``."""

    protocol: str
    version: str
    title: str
    reading: str
    kinds: str
    floor: str
    soil: str
    dose_g: str
    dose_tolerance_g: str
    passes: str
    minutes: str
    clean_limit: str
    zones: str
    unit: str
    better: str
    min_runs: str
    matters: str
    least: str
    most: str
    from_date: str
    to_date: str
    continues: str
    in_overall: str


@dataclass(frozen=True)
class Claim:
    """One row of ``claims.csv``."""

    claim: str
    machine: str
    setup: str
    quantity: str
    value: str
    unit: str
    tolerance_pct: str
    source: str
    stated_on: str


@dataclass(frozen=True)
class Weighing:
    """One row of ``weighings.csv``."""

    run: str
    at: str
    setup: str
    protocol: str
    version: str
    replicate: str
    instrument: str = ""
    dose_g: str = ""
    dose_by: str = ""
    dose_instrument: str = ""
    before_g: str = ""
    after_g: str = ""
    gain_g: str = ""
    blank_g: str = ""
    soil_lot: str = ""
    operator: str = ""
    clip: str = ""
    status: str = "valid"
    reason: str = ""
    note: str = ""


@dataclass(frozen=True)
class Value:
    """One row of ``values.csv``."""

    run: str
    at: str
    setup: str
    protocol: str
    version: str
    replicate: str
    instrument: str = ""
    value: str = ""
    operator: str = ""
    clip: str = ""
    status: str = "valid"
    reason: str = ""
    note: str = ""


@dataclass(frozen=True)
class Count:
    """One row of ``counts.csv``."""

    run: str
    at: str
    setup: str
    protocol: str
    version: str
    replicate: str
    hits: str = ""
    tries: str = ""
    operator: str = ""
    clip: str = ""
    status: str = "valid"
    reason: str = ""
    note: str = ""


@dataclass(frozen=True)
class Grading:
    """One row of ``gradings.csv``."""

    run: str
    zone: str
    grader: str
    at: str
    setup: str
    protocol: str
    version: str
    replicate: str
    grade: str = ""
    clip: str = ""
    status: str = "valid"
    reason: str = ""
    note: str = ""


@dataclass(frozen=True)
class Condition:
    """One row of ``conditions.csv``."""

    at: str
    temp_c: str
    rh_pct: str
    instrument: str = ""


@dataclass(frozen=True)
class Photo:
    """One row of ``photos.csv``."""

    photo: str
    run: str
    zone: str | None
    file: str
    caption: str
    alt: str


@dataclass(frozen=True)
class Film:
    """One row of ``films.csv``."""

    film: str
    title: str
    address: str
    published_on: str = ""


@dataclass(frozen=True)
class FilmMark:
    """One row of ``film_marks.csv``."""

    film: str
    at: str
    label: str
    run: str = ""
    setup: str = ""
    protocol: str = ""


@dataclass(frozen=True)
class Correction:
    """One row of ``corrections.csv``."""

    correction: str
    table: str
    row: str
    column: str
    corrected_on: str
    was: str
    now: str
    why: str


Reading = Weighing | Value | Count | Grading
