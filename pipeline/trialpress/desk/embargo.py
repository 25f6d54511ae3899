"""What will be seen later than on a date, and when.

In:  a checked bench and the date.
Out: what becomes visible, by date.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from trialpress.intake import CheckedBench, read_schema

DATES = {
    "setups": ("publish_on", "set-up"),
    "protocols": ("from_date", "protocol"),
    "floors": ("laid_on", "floor"),
    "claims": ("stated_on", "claim"),
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


def what_comes(checked: CheckedBench, as_of: date) -> tuple[Coming, ...]:
    """Everything that is dated later than ``as_of``, the next first.

    A set-up brings its machine and its runs with it, a day its runs.
    """
    return tuple(sorted({one for one in _dated(checked) if one.on > as_of}))


def _dated(checked: CheckedBench) -> Iterator[Coming]:
    for table, (column, kind) in DATES.items():
        key = read_schema(table).key[: 1 if table == "corrections" else None]
        frame = checked.tables[table].corrected
        for row in frame[frame[column].notna()].to_dict("records"):
            name = " ".join(str(row[part]) for part in key)
            yield Coming(date.fromisoformat(str(row[column])), kind, name)
    for read in checked.tables.values():
        days = read.as_typed[["day", "day_date"]].dropna().drop_duplicates()
        for day, on in days.itertuples(index=False):
            yield Coming(date.fromisoformat(str(on)), "day", str(day))
