"""Benches of any size, invented, the same bytes for the same size.

In:  a number of machines, and of runs that each machine makes of each of eight protocols.
Out: a bench folder with days, claims, corrections and photos. It has no faults.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import product
from pathlib import Path

import numpy as np
from PIL import Image

SEED = 20310302
FIRST_DAY = date(2024, 1, 6)
RUNS_A_DAY = 30
SECOND_SETUP_EVERY, CORRECTION_EVERY, PHOTO_EVERY = 9, 97, 5
ZONES, TRIES = 10, 60
KINDS = ("robot", "stick", "canister", "upright")
MAKERS = ("Drum", "Tarn", "Quel", "Osk", "Hesp", "Wend", "Ulv", "Skarn", "Plim", "Yost")
ENDINGS = ("vald", "anneth", "imarra", "ottak", "ulinne", "orrask", "ithune", "ambeld")

BENCH_TOML = """format = 1
name = "A seeded bench"
base_url = "https://example.org/seeded-bench/"
time_zone = "Europe/Lisbon"
licence = "CC-BY-4.0"
contact = "bench@example.org"
currency = "EUR"
top_n = 5
confidence = 0.95
single_runs = "borrowed"
disclosure = "Every machine was bought, in a shop that does not exist."
notice = "Invented data, made to measure the tool. They say nothing about any real machine."
"""


@dataclass(frozen=True)
class Protocol:
    """How a run is made, and around what its values lie; all figures in the protocol's unit."""

    name: str
    reading: str
    floor: str
    soil: str
    dose_g: str
    dose_tolerance_g: str
    unit: str
    better: str
    matters: str
    in_overall: str
    level: float
    between: float
    day: float
    within: float


PROTOCOLS = (
    Protocol("deep", "collected", "rug", "dust", "20", "0.5", "%", "higher", "2", "1", 70, 8, 1, 2),
    Protocol(
        "loop", "collected", "loop", "dust", "16", "0.5", "%", "higher", "2", "1", 80, 6, 0, 2
    ),
    Protocol(
        "crumbs", "collected", "tile", "oat", "26", "0.5", "%", "higher", "1", "1", 90, 3, 0, 1
    ),
    Protocol("gaps", "left", "board", "grit", "9", "0.2", "%", "higher", "1", "1", 60, 12, 1, 3),
    Protocol("hair", "count", "rug", "hair", "", "", "%", "higher", "5", "0.5", 80, 8, 0, 4),
    Protocol("stain", "graded", "tile", "film", "", "", "%", "higher", "10", "0", 60, 15, 0, 8),
    Protocol("noise", "value", "loop", "", "", "", "dB(A)", "lower", "2", "0", 68, 3, 0.2, 0.6),
    Protocol("runtime", "value", "loop", "", "", "", "min", "higher", "3", "0", 40, 9, 0, 1.5),
)
TABLES = {"count": "counts", "graded": "gradings", "value": "values"}


@dataclass(frozen=True)
class Size:
    """How large a bench is."""

    machines: int
    runs: int = 3


@dataclass(frozen=True)
class Run:
    """One run: what is noted in any table, and the value it should come out at."""

    name: str
    day: date
    minute: int
    setup: str
    protocol: Protocol
    value: float

    @property
    def folder(self) -> str:
        return f"{self.day.isoformat()}-hall"

    @property
    def at(self) -> str:
        hours, minutes = divmod(self.minute, 60)
        return f"{self.day.isoformat()}T{hours:02}:{minutes:02}"


def write_bench(folder: Path, size: Size) -> None:
    """Write a bench of this size into an empty folder."""
    draws = np.random.default_rng([SEED, size.machines, size.runs])
    data = folder / "data"
    setups = _write_catalogue(data / "catalogue", size.machines)
    corrections: list[dict[str, str]] = []
    for number, day in enumerate(_days(setups, size.runs, draws)):
        _write_day(data / "days" / day[0].folder, day, draws, corrections)
        if number % PHOTO_EVERY == 0:
            _write_photo(data / "days" / day[0].folder, day[0].name, draws)
    _write_table(data / "corrections.csv", corrections)
    (data / "published.csv").write_text("url,since,moved_to\n", encoding="utf-8")
    (data / "bench.toml").write_text(BENCH_TOML, encoding="utf-8")


def _write_catalogue(folder: Path, machines: int) -> list[str]:
    """Write what changes slowly; the set-ups, of which the first is the reference."""
    names = [f"{start}{end}" for end, start in product(ENDINGS, MAKERS)]
    makers = names[: max(machines // 4, 2)]
    _write_table(folder / "makers.csv", [{"maker": name.lower(), "name": name} for name in makers])
    listed, setups, claims = [], [], []
    for number in range(machines):
        maker, kind = makers[number % len(makers)], KINDS[number // len(makers) % len(KINDS)]
        machine = f"{maker.lower()}-{number + 1}"
        listed.append(
            {
                "machine": machine,
                "maker": maker.lower(),
                "name": f"{maker} {number + 1}",
                "kind": kind,
                "released": f"{2019 + number % 5}-03-01",
                "price": f"{90 + 37 * number % 800}.00",
                "currency": "EUR",
                "priced_on": "2024-01-02",
                "acquired": "bought",
            }
        )
        labels = ("stock", "soft")[: 1 + (number % SECOND_SETUP_EVERY == 1)]
        setups += [_setup_row(machine, label, is_reference=number == 0) for label in labels]
        claims += _claims(machine, number)
    _write_table(folder / "machines.csv", listed)
    _write_table(folder / "setups.csv", setups)
    _write_table(folder / "claims.csv", claims)
    _write_methods(folder)
    return [row["setup"] for row in setups]


def _setup_row(machine: str, label: str, *, is_reference: bool) -> dict[str, str]:
    return {
        "setup": f"{machine}-{label}",
        "machine": machine,
        "label": label,
        "brushes": f"{label} roller",
        "stock": str(label == "stock").lower(),
        "reference": str(is_reference).lower(),
    }


def _claims(machine: str, number: int) -> list[dict[str, str]]:
    stated = {
        "noise": (f"{64 + number % 9}", "dB(A)"),
        "runtime": (f"{30 + number % 25}", "min"),
        "suction": (f"{15 + number % 12}", "kPa"),
    }
    return [
        {
            "claim": f"{machine}-{quantity}",
            "machine": machine,
            "quantity": quantity,
            "value": value,
            "unit": unit,
            "source": "box",
            "stated_on": "2024-01-02",
        }
        for quantity, (value, unit) in stated.items()
    ]


def _write_methods(folder: Path) -> None:
    """Floors, soils, instruments, protocols and how their runs are made."""
    since = "2024-01-01"
    coverings = {"rug": "rug", "loop": "carpet", "tile": "hard", "board": "hard"}
    floors = [
        {"floor": floor, "name": f"Invented {floor}", "covering": covering, "laid_on": since}
        for floor, covering in coverings.items()
    ]
    _write_table(folder / "floors.csv", floors)
    soils = [
        {"soil": soil, "name": f"Invented {soil}", "material": soil, "hazard": "fine dust"}
        for soil in ("dust", "oat", "grit", "hair", "film")
    ]
    _write_table(folder / "soils.csv", soils)
    instruments = [
        ("balance", "mass", "g", "0.01", "0.00005"),
        ("meter", "sound-level", "dB(A)", "0.1", "0.004"),
        ("clock", "time", "min", "0.1", "0.0002"),
    ]
    columns = ("instrument", "quantity", "unit", "resolution", "calibration_u")
    rows = [dict(zip(columns, row, strict=True)) for row in instruments]
    _write_table(folder / "instruments.csv", [{**row, "calibrated_on": since} for row in rows])
    _write_table(folder / "protocols.csv", [_protocol_row(one) for one in PROTOCOLS])
    (folder / "methods").mkdir()
    for one in PROTOCOLS:
        text = (
            f"# {one.name}\n\n## Purpose\n\nInvented to measure the tool.\n\n## Steps\n\n1. Run.\n"
        )
        (folder / "methods" / f"{one.name}.md").write_text(text, encoding="utf-8")


def _protocol_row(one: Protocol) -> dict[str, str]:
    is_graded = one.reading == "graded"
    return {
        "protocol": one.name,
        "version": "1",
        "title": f"Invented {one.name}",
        "reading": one.reading,
        "floor": one.floor,
        "soil": one.soil,
        "dose_g": one.dose_g,
        "dose_tolerance_g": one.dose_tolerance_g,
        "passes": "4",
        "clean_limit": "1" if is_graded else "",
        "zones": str(ZONES) if is_graded else "",
        "unit": one.unit,
        "better": one.better,
        "min_runs": "3",
        "matters": one.matters,
        "from_date": "2024-01-01",
        "continues": "false",
        "in_overall": one.in_overall,
    }


def _days(setups: Sequence[str], runs: int, draws: np.random.Generator) -> Iterator[list[Run]]:
    """The runs of each day: one protocol a day, two runs of a set-up in a sitting, the third later.

    The reference is run first on every day.
    """
    day = FIRST_DAY
    means = {one.name: one.level + one.between * _draw(draws, len(setups)) for one in PROTOCOLS}
    for start, protocol in product(range(0, runs, 2), PROTOCOLS):
        sittings = [
            number
            for number in draws.permutation(len(setups)).tolist()
            if number
            for _ in range(min(2, runs - start))
        ]
        for first in range(0, len(sittings), RUNS_A_DAY):
            shift = protocol.day * float(_draw(draws))
            numbers = [0, *sittings[first : first + RUNS_A_DAY]]
            values = (
                means[protocol.name][numbers] + shift + protocol.within * _draw(draws, len(numbers))
            )
            yield [
                Run(f"{day:%y%m%d}-{i:02}", day, 540 + 12 * i, setups[number], protocol, value)
                for i, (number, value) in enumerate(zip(numbers, values.tolist(), strict=True))
            ]
            day += timedelta(days=1)


def _draw(
    draws: np.random.Generator, count: int | None = None
) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Normal deviates that keep to what a careful bench would give."""
    return np.clip(draws.normal(size=count), -2.5, 2.5)


def _write_day(
    folder: Path, runs: Sequence[Run], draws: np.random.Generator, corrections: list[dict[str, str]]
) -> None:
    """Write the runs of one day, all of one protocol, into its table."""
    reading = runs[0].protocol.reading
    rows: list[dict[str, str]] = []
    for run in runs:
        noted = {
            "run": run.name,
            "at": run.at,
            "setup": run.setup,
            "protocol": run.protocol.name,
            "version": "1",
        }
        rows += [{**noted, **one, "status": "valid"} for one in READINGS[reading](run, draws)]
        if reading == "collected" and draws.integers(CORRECTION_EVERY) == 0:
            corrections.append(_misread(rows[-1], run))
    _write_table(folder / f"{TABLES.get(reading, 'weighings')}.csv", rows)
    _write_table(folder / "conditions.csv", [{"at": runs[0].at, "temp_c": "20.5", "rh_pct": "48"}])


def _misread(row: dict[str, str], run: Run) -> dict[str, str]:
    """A tenth of a gram too little was typed, and corrected on the day."""
    right = row["after_g"]
    row["after_g"] = f"{float(right) - 0.1:.2f}"
    return {
        "correction": f"misread-{run.name}",
        "table": "weighings",
        "row": run.name,
        "column": "after_g",
        "corrected_on": run.day.isoformat(),
        "was": row["after_g"],
        "now": right,
        "why": "The second last digit was misread.",
    }


def _weighed(run: Run, draws: np.random.Generator) -> list[dict[str, str]]:
    dose = float(run.protocol.dose_g) + 0.06 * float(_draw(draws))
    share = run.value / 100
    gain = dose * (1 - share if run.protocol.reading == "left" else share)
    before = 300 + 3 * (sum(run.setup.encode()) % 50) + 0.05 * float(_draw(draws))
    return [
        {
            "instrument": "balance",
            "dose_g": f"{dose:.2f}",
            "before_g": f"{before:.2f}",
            "after_g": f"{before + max(gain, 0.0):.2f}",
        }
    ]


def _valued(run: Run, draws: np.random.Generator) -> list[dict[str, str]]:
    del draws
    instrument = "meter" if run.protocol.name == "noise" else "clock"
    return [{"instrument": instrument, "value": f"{run.value:.1f}"}]


def _counted(run: Run, draws: np.random.Generator) -> list[dict[str, str]]:
    hits = draws.binomial(TRIES, min(max(run.value / 100, 0.0), 1.0))
    return [{"hits": str(hits), "tries": str(TRIES)}]


def _graded(run: Run, draws: np.random.Generator) -> list[dict[str, str]]:
    is_clean = draws.random(ZONES) < run.value / 100
    grades = np.where(is_clean, draws.integers(0, 2, ZONES), draws.integers(2, 5, ZONES))
    return [
        {"zone": f"z{zone + 1}", "grader": "ab", "grade": str(grade)}
        for zone, grade in enumerate(grades.tolist())
    ]


READINGS = {
    "collected": _weighed,
    "left": _weighed,
    "value": _valued,
    "count": _counted,
    "graded": _graded,
}


def _write_photo(folder: Path, run: str, draws: np.random.Generator) -> None:
    (folder / "photos").mkdir()
    pile = draws.integers(90, 150, (105, 160, 3), dtype=np.uint8)
    picture = Image.fromarray(pile).resize((640, 420))
    picture.save(folder / "photos" / "floor.jpg", quality=80)
    row = {
        "photo": f"floor-{run}",
        "run": run,
        "file": "photos/floor.jpg",
        "caption": "The floor after the run.",
        "alt": "A floor of mixed colours.",
    }
    _write_table(folder / "photos.csv", [row])


def _write_table(file: Path, rows: Sequence[dict[str, str]]) -> None:
    text = io.StringIO()
    columns = list(dict.fromkeys(column for row in rows for column in row))
    writer = csv.DictWriter(text, columns, restval="", lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(text.getvalue(), encoding="utf-8")
