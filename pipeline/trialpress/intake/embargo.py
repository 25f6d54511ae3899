"""What is hidden on a date, and from when on it is seen.

In:  tables as typed and as corrected, or a checked bench, and a date.
Out: names of runs that no comparison may use, as they are under embargo; what becomes visible
     later, by date.

What is said of a visible run must be the same with and without hidden ones, so rules that hold runs
against each other, and the numbering of replicates, leave these out. The store decides what is
hidden in its pages; ``tests/desk/test_embargo_promise.py`` holds the two together, byte for byte.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from trialpress.bench import READING_TABLES
from trialpress.intake.checked import CheckedBench
from trialpress.intake.rows import Tables
from trialpress.intake.schemas import read_schema

_DATES = {
    "setups": ("publish_on", "set-up"),
    "protocols": ("from_date", "protocol"),
    "floors": ("laid_on", "floor"),
    "claims": ("stated_on", "claim"),
    "films": ("published_on", "film"),
    "corrections": ("corrected_on", "correction"),
}


@dataclass(frozen=True, order=True)
class Coming:
    """Something that becomes visible on a date."""

    on: date
    kind: str
    name: str

    @property
    def text(self) -> str:
        """One line for people."""
        return f"{self.on.isoformat()}: {self.kind} {self.name}"


def hidden_runs(typed: Tables, corrected: Tables, as_of: date | None) -> frozenset[str]:
    """Runs that name a set-up under embargo, or ever did, whatever a correction made of it.

    Parameters
    ----------
    typed, corrected : mapping of table name to rows
        All tables.
    as_of : date or None
        The date of the build; ``None`` hides nothing.

    Returns
    -------
    frozenset of str
        Their names.
    """
    if as_of is None:
        return frozenset()
    today = as_of.isoformat()
    setups = {
        str(row.cells["setup"])
        for row in typed["setups"]
        if (row.cells["publish_on"] or "") > today
    }
    return frozenset(_naming(setups, typed, corrected)) if setups else frozenset()


def _naming(setups: set[str], typed: Tables, corrected: Tables) -> Iterator[str]:
    for table in READING_TABLES:
        for row in (*typed[table], *corrected[table]):
            if row.cells["setup"] in setups:
                yield str(row.cells["run"])
    for line in typed["corrections"]:
        is_of_setup = line.cells["table"] in READING_TABLES and line.cells["column"] == "setup"
        if is_of_setup and {line.cells["was"], line.cells["now"]} & setups:
            yield str(line.cells["row"]).partition("|")[0]


def embargoes_of(checked: CheckedBench, as_of: date) -> dict[str, date]:
    """The set-ups that may not be seen on a date, and from when on they may."""
    ends = {
        str(row.cells["setup"]): date.fromisoformat(end)
        for row in checked.tables["setups"].corrected
        if (end := row.cells["publish_on"])
    }
    return {setup: end for setup, end in ends.items() if end > as_of}


def what_comes(checked: CheckedBench, as_of: date) -> tuple[Coming, ...]:
    """Everything that is dated later than ``as_of``, the next first.

    A set-up brings its machine and its runs with it, a day its runs.
    """
    return tuple(sorted({coming for coming in _dated(checked) if coming.on > as_of}))


def _dated(checked: CheckedBench) -> Iterator[Coming]:
    for table, (column, kind) in _DATES.items():
        key = read_schema(table).key[: 1 if table == "corrections" else None]
        for row in checked.tables[table].corrected:
            if on := row.cells[column]:
                yield Coming(date.fromisoformat(on), kind, " ".join(map(str, row.texts(key))))
    days = {(row.day, row.day_date) for table in checked.tables.values() for row in table.as_typed}
    for day, day_date in days:
        if day and day_date:
            yield Coming(day_date, "day", day)
