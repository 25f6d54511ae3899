"""What the bench sheet offers: the planned runs, and what a run that was not planned can be.

In:  the last look at the bench that had no errors.
Out: ``Offer``, plain data for the page.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from trialpress.bench import READING_TABLES
from trialpress.desk.preview.draft import DraftError
from trialpress.desk.preview.filling import READINGS
from trialpress.desk.preview.look import Look
from trialpress.glossary import explained
from trialpress.intake import SOURCE_COLUMNS, read_schema
from trialpress.site.cautions import cautions_for
from trialpress.view import View, typed

TABLE_OF = {
    "collected": "weighings",
    "left": "weighings",
    "graded": "gradings",
    "value": "values",
    "count": "counts",
}
# What the last run under a protocol says of the next one: who and with what.
ON_SHEET = "run dose dose_by replicate set-up planned void soil clean_limit"
"""Words of the sheet that a tester may meet there for the first time."""
CARRIED = ("instrument", "dose_by", "dose_instrument", "soil_lot", "operator")
_NUMBERED = re.compile(r"-([0-9]+)$")
Row = Mapping[str, str]


@dataclass(frozen=True)
class Method:
    """One protocol version as the sheet shows it; ``dose`` and the like are as typed."""

    protocol: str
    version: int
    title: str
    table: str
    reading: str
    unit: str
    dose: str
    has_ended: bool
    cautions: tuple[str, ...]


@dataclass(frozen=True)
class PlannedRun:
    """One run to be made: its rows as they stand in the file, or would stand there."""

    run: str
    day: str
    table: str
    setup: str
    name: str
    protocol: str
    version: int
    is_planned: bool
    rows: tuple[Row, ...]


@dataclass(frozen=True)
class SetupChoice:
    """A set-up and what it is called."""

    setup: str
    name: str


@dataclass(frozen=True)
class Tool:
    """An instrument and the unit it shows: what can be chosen for a reading in that unit."""

    instrument: str
    unit: str


@dataclass(frozen=True)
class Column:
    """A column as its field is labelled; ``allowed`` are the words it can hold, if only some."""

    name: str
    title: str
    type: str
    unit: str | None
    allowed: tuple[str, ...]


@dataclass(frozen=True)
class Offer:
    """Everything there is to choose from."""

    bench: str
    days: tuple[str, ...]
    planned: tuple[PlannedRun, ...]
    methods: tuple[Method, ...]
    setups: tuple[SetupChoice, ...]
    instruments: tuple[Tool, ...]
    words: tuple[tuple[str, str], ...]
    columns: Mapping[str, tuple[Column, ...]]


@dataclass(frozen=True)
class Wish:
    """A run that was not planned."""

    day: str
    setup: str
    protocol: str
    version: int


def read_offer(look: Look) -> Offer:
    """Gather what the sheet offers.

    Raises
    ------
    ValueError
        If the look had errors.
    """
    if look.store is None:
        message = "a look with errors offers nothing"
        raise ValueError(message)
    view = View(look.store)
    names = _names(view)
    return Offer(
        bench=view.settings.name,
        days=tuple(sorted({day for (_, day), _ in _by_run(look).items()}, reverse=True)),
        planned=tuple(_planned(look, names)),
        methods=tuple(_methods(view)),
        setups=tuple(SetupChoice(setup, name) for setup, name in names.items()),
        instruments=tuple(Tool(row.instrument, row.unit) for row in view.instruments),
        words=explained(ON_SHEET),
        columns={table: _columns(table) for table in READING_TABLES},
    )


def _columns(table: str) -> tuple[Column, ...]:
    return tuple(
        Column(field.name, field.title, field.type, field.unit, field.allowed)
        for field in read_schema(table).fields
    )


def begin(look: Look, offer: Offer, wish: Wish) -> PlannedRun:
    """The rows of a run that was not planned, with a free name.

    Raises
    ------
    DraftError
        If there is no such set-up or protocol.
    """
    key = (wish.protocol, wish.version)
    method = next((m for m in offer.methods if (m.protocol, m.version) == key), None)
    name = next((s.name for s in offer.setups if s.setup == wish.setup), None)
    if method is None or name is None:
        raise DraftError("There is no such set-up or protocol")
    earlier = [row for row in _rows(look, method.table) if row["protocol"] == wish.protocol]
    run = _free_name(look, f"{wish.day[:10]}-{wish.protocol}")
    shared = {
        "run": run,
        "at": wish.day[:10],
        "setup": wish.setup,
        "protocol": wish.protocol,
        "version": str(wish.version),
        "status": "planned",
    }
    made = tuple({**extra, **shared} for extra in _extras(earlier, method.table))
    return PlannedRun(
        run, wish.day, method.table, wish.setup, name, *key, is_planned=False, rows=made
    )


def _extras(earlier: Sequence[Row], table: str) -> list[dict[str, str]]:
    """What the rows of a new run take from the last run; a graded run has its zones and graders."""
    if table != "gradings":
        return [_carried(earlier)]
    last = [row for row in earlier if row["run"] == earlier[-1]["run"]]
    return [{"zone": row["zone"], "grader": row["grader"]} for row in last] or [{}]


def _carried(earlier: Iterable[Row]) -> dict[str, str]:
    """Who made the last run, and with what: the sheet shows it, and it can be changed there."""
    made = sorted((row for row in earlier if row["status"] != "planned"), key=lambda row: row["at"])
    return {column: made[-1][column] for column in CARRIED if column in made[-1]} if made else {}


def _free_name(look: Look, stem: str) -> str:
    runs = [row["run"] for table in READING_TABLES for row in _rows(look, table)]
    taken = [
        int(match[1])
        for run in runs
        if run.startswith(f"{stem}-") and (match := _NUMBERED.search(run))
    ]
    return f"{stem}-{max(taken, default=0) + 1:02}"


def _planned(look: Look, names: Mapping[str, str]) -> Iterable[PlannedRun]:
    """Planned runs in the order of the printed sheet, which numbers them over all tables."""
    found: list[tuple[str, int, int, PlannedRun]] = []
    runs = _by_run_id(look)
    for (table, _), group in runs.items():
        first = group[0]
        if first["status"] != "planned":
            continue
        protocol = first["protocol"]
        earlier = [rows[0] for rows in runs.values() if rows[0]["protocol"] == protocol]
        carried = _carried(earlier) if table != "gradings" else {}
        made = PlannedRun(
            run=first["run"],
            day=first["day"],
            table=table,
            setup=first["setup"],
            name=names.get(first["setup"], first["setup"]),
            protocol=first["protocol"],
            version=int(first["version"]),
            is_planned=True,
            rows=tuple({**carried, **_typed(row)} for row in group),
        )
        found.append((first["day"], _number(first["run"]), int(first["source_row"]), made))
    return (made for *_, made in sorted(found, key=lambda item: item[:3]))


def _number(run: str) -> int:
    """The number a run's name ends in; runs without one come in the order of their file."""
    match = _NUMBERED.search(run)
    return int(match[1]) if match else 0


def _typed(row: Row) -> Row:
    """The cells of a row without what the file says of the place, or a reading yet to come."""
    left_out = (*SOURCE_COLUMNS, *READINGS)
    return {column: text for column, text in row.items() if column not in left_out}


def _by_run_id(look: Look) -> dict[tuple[str, str], list[Row]]:
    runs: dict[tuple[str, str], list[Row]] = {}
    for table in READING_TABLES:
        for row in _rows(look, table):
            runs.setdefault((table, row["run"]), []).append(row)
    return runs


def _by_run(look: Look) -> dict[tuple[str, str], Row]:
    return {(row["run"], row["day"]): row for table in READING_TABLES for row in _rows(look, table)}


def _rows(look: Look, table: str) -> list[Row]:
    """The rows of a table as corrected, without blank cells."""
    if look.checked is None:
        return []
    records = look.checked.tables[table].corrected.to_dict("records")
    return [{str(k): str(v) for k, v in record.items() if v is not None} for record in records]


def _names(view: View) -> dict[str, str]:
    """What each set-up is called, in the order of the names."""
    names = view.names.setups.values()
    in_order = sorted(names, key=lambda row: (row.maker_name, row.machine_name, row.label))
    return {row.setup: row.full for row in in_order}


def _methods(view: View) -> Iterable[Method]:
    for protocol in view.protocols:
        yield Method(
            protocol=protocol.protocol,
            version=protocol.version,
            title=protocol.title,
            table=TABLE_OF[protocol.reading],
            reading=protocol.reading,
            unit=protocol.unit,
            dose=_dose(protocol),
            has_ended=protocol.to_date is not None,
            cautions=cautions_for([protocol], view.machines, view.setups),
        )


def _dose(protocol: typed.Protocol) -> str:
    if protocol.dose_g is None:
        return ""
    tolerance = protocol.dose_tolerance_g
    return f"{protocol.dose_g:g} g" + (f" ± {tolerance:g} g" if tolerance is not None else "")
