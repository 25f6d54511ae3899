"""What the bench sheet offers: the planned runs, and what a run that was not planned can be.

In:  the last state of the bench that had no errors.
Out: ``Choices``, plain data for the page.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from trialpress.bench import READING_COLUMNS, READING_TABLES, TABLE_OF_READING
from trialpress.desk.measured import BenchState
from trialpress.desk.sheet.draft import DraftError
from trialpress.glossary import explained
from trialpress.intake import read_schema
from trialpress.site.methods import cautions_for
from trialpress.view import View, typed

ON_SHEET = "run dose dose_by replicate set-up planned void soil clean_limit"
"""Words of the sheet that a tester may meet there for the first time."""
CARRIED = ("instrument", "dose_by", "dose_instrument", "soil_lot", "operator")
"""What the last run under a protocol says of the next one: who makes it, and with what."""
_PLACE = ("day", "number")
_NUMBERED = re.compile(r"-([0-9]+)$")
Row = Mapping[str, str]


@dataclass(frozen=True)
class ProtocolChoice:
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
class RunRows:
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
class InstrumentChoice:
    """An instrument and the unit it shows: what can be chosen for a reading in that unit."""

    instrument: str
    unit: str


@dataclass(frozen=True)
class FormField:
    """A column as its field is labelled; ``allowed`` are the words it can hold, if only some."""

    name: str
    title: str
    type: str
    unit: str | None
    allowed: tuple[str, ...]


@dataclass(frozen=True)
class Choices:
    """Everything there is to choose from."""

    bench: str
    days: tuple[str, ...]
    planned: tuple[RunRows, ...]
    methods: tuple[ProtocolChoice, ...]
    setups: tuple[SetupChoice, ...]
    instruments: tuple[InstrumentChoice, ...]
    words: tuple[tuple[str, str], ...]
    columns: Mapping[str, tuple[FormField, ...]]


@dataclass(frozen=True)
class RunRequest:
    """A run that was not planned."""

    day: str
    setup: str
    protocol: str
    version: int


def read_choices(state: BenchState) -> Choices:
    """Gather what the sheet offers.

    Raises
    ------
    ValueError
        If the state has errors.
    """
    if state.store is None:
        message = "a bench with errors offers nothing"
        raise ValueError(message)
    view = View(state.store)
    names = _names(view)
    return Choices(
        bench=view.settings.name,
        days=_days(state),
        planned=tuple(_planned(state, names)),
        methods=tuple(_protocols(view)),
        setups=tuple(SetupChoice(setup, name) for setup, name in names.items()),
        instruments=tuple(InstrumentChoice(row.instrument, row.unit) for row in view.instruments),
        words=explained(ON_SHEET),
        columns={table: _columns(table) for table in READING_TABLES},
    )


def _columns(table: str) -> tuple[FormField, ...]:
    return tuple(
        FormField(field.name, field.title, field.type, field.unit, field.allowed)
        for field in read_schema(table).fields
    )


def begin(state: BenchState, choices: Choices, request: RunRequest) -> RunRows:
    """The rows of a run that was not planned, with a free name.

    Raises
    ------
    DraftError
        If there is no such set-up or protocol.
    """
    key = (request.protocol, request.version)
    method = next((m for m in choices.methods if (m.protocol, m.version) == key), None)
    name = next((s.name for s in choices.setups if s.setup == request.setup), None)
    if method is None or name is None:
        raise DraftError("There is no such set-up or protocol")
    earlier = [row for row in _rows(state, method.table) if row["protocol"] == request.protocol]
    run = _free_name(state, f"{request.day[:10]}-{request.protocol}")
    shared = {
        "run": run,
        "at": request.day[:10],
        "setup": request.setup,
        "protocol": request.protocol,
        "version": str(request.version),
        "status": "planned",
    }
    made = tuple({**extra, **shared} for extra in _extras(earlier, method.table))
    return RunRows(
        run, request.day, method.table, request.setup, name, *key, is_planned=False, rows=made
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


def _free_name(state: BenchState, stem: str) -> str:
    runs = [row["run"] for table in READING_TABLES for row in _rows(state, table)]
    taken = [
        int(match[1])
        for run in runs
        if run.startswith(f"{stem}-") and (match := _NUMBERED.search(run))
    ]
    return f"{stem}-{max(taken, default=0) + 1:02}"


def _planned(state: BenchState, names: Mapping[str, str]) -> Iterable[RunRows]:
    """Planned runs in the order of the printed sheet, which numbers them over all tables."""
    found: list[tuple[str, int, int, RunRows]] = []
    runs = _by_run(state)
    for (table, _), group in runs.items():
        first = group[0]
        if first["status"] != "planned":
            continue
        protocol = first["protocol"]
        earlier = [rows[0] for rows in runs.values() if rows[0]["protocol"] == protocol]
        carried = _carried(earlier) if table != "gradings" else {}
        made = RunRows(
            run=first["run"],
            day=first["day"],
            table=table,
            setup=first["setup"],
            name=names.get(first["setup"], first["setup"]),
            protocol=first["protocol"],
            version=int(first["version"]),
            is_planned=True,
            rows=tuple({**carried, **_typed(row, table)} for row in group),
        )
        found.append((first["day"], _number(first["run"]), int(first["number"]), made))
    return (made for *_, made in sorted(found, key=lambda item: item[:3]))


def _number(run: str) -> int:
    """The number a run's name ends in; runs without one come in the order of their file."""
    match = _NUMBERED.search(run)
    return int(match[1]) if match else 0


def _typed(row: Row, table: str) -> Row:
    """The cells of a row without what the file says of the place, or a reading yet to come."""
    left_out = (*_PLACE, *READING_COLUMNS[table])
    return {column: text for column, text in row.items() if column not in left_out}


def _by_run(state: BenchState) -> dict[tuple[str, str], list[Row]]:
    runs: dict[tuple[str, str], list[Row]] = {}
    for table in READING_TABLES:
        for row in _rows(state, table):
            runs.setdefault((table, row["run"]), []).append(row)
    return runs


def _days(state: BenchState) -> tuple[str, ...]:
    """The days that have runs, the last first."""
    days = {row["day"] for table in READING_TABLES for row in _rows(state, table)}
    return tuple(sorted(days, reverse=True))


def _rows(state: BenchState, table: str) -> list[Row]:
    """The rows of a table as corrected, without blank cells, and the places they stand in."""
    if state.checked is None:
        return []
    return [
        {
            **{column: text for column, text in row.cells.items() if text is not None},
            "day": row.day or "",
            "number": str(row.number),
        }
        for row in state.checked.tables[table].corrected
    ]


def _names(view: View) -> dict[str, str]:
    """What each set-up is called, in the order of the names."""
    names = view.names.setups.values()
    in_order = sorted(names, key=lambda row: (row.maker_name, row.machine_name, row.label))
    return {row.setup: row.full for row in in_order}


def _protocols(view: View) -> Iterable[ProtocolChoice]:
    for protocol in view.protocols:
        yield ProtocolChoice(
            protocol=protocol.protocol,
            version=protocol.version,
            title=protocol.title,
            table=TABLE_OF_READING[protocol.reading],
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
