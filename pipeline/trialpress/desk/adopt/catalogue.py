"""What of the catalogue a spreadsheet's words can mean.

In:  a checked bench.
Out: set-ups, protocols and instruments by the names people write.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from trialpress.intake import CheckedBench

FOREVER = date.max.isoformat()


@dataclass(frozen=True)
class ProtocolVersion:
    """One version of a protocol: how it is read, and from when to when it holds."""

    protocol: str
    version: str
    reading: str
    unit: str
    dose_g: str
    zones: int
    start: str
    end: str


@dataclass(frozen=True)
class Catalogue:
    """Our names by theirs, in lower case; names that two things share are left out.

    ``machines`` are the names that mean a machine, and its set-up only if it has no other.
    """

    setups: Mapping[str, str]
    machines: frozenset[str]
    protocols: Mapping[str, str]
    instruments: frozenset[str]
    versions: tuple[ProtocolVersion, ...]

    def version_on(self, protocol: str, day: str) -> ProtocolVersion | None:
        """The version in force on a day; the newest, should there be several."""
        known = [version for version in self.versions if version.protocol == protocol]
        fitting = [version for version in known if version.start <= day <= version.end]
        return max(fitting, key=lambda version: int(version.version), default=None)


def read_catalogue(checked: CheckedBench) -> Catalogue:
    """Read the names a bench has for things."""
    rows = {
        table: [row.cells for row in checked.tables[table].corrected]
        for table in ("makers", "machines", "setups", "protocols", "instruments")
    }
    machines = {row["machine"]: row for row in rows["machines"]}
    makers = {row["maker"]: row["name"] for row in rows["makers"]}
    setups = [
        (name, str(row["setup"]))
        for row in rows["setups"]
        for machine in [machines[row["machine"]]]
        for maker in [makers[machine["maker"]]]
        for name in (
            row["setup"],
            row["machine"],
            machine["name"],
            row["label"],
            f"{machine['name']} {row['label']}",
            f"{maker} {machine['name']}",
            f"{maker} {machine['name']} {row['label']}",
        )
    ]
    versions = tuple(map(_version, rows["protocols"]))
    protocols = [
        (name, str(row["protocol"]))
        for row in rows["protocols"]
        for name in (row["protocol"], row["title"])
    ]
    instruments = frozenset(str(row["instrument"]) for row in rows["instruments"])
    called = frozenset(
        str(name).casefold()
        for row in machines.values()
        for name in (row["machine"], row["name"], f"{makers[row['maker']]} {row['name']}")
    )
    return Catalogue(_unambiguous(setups), called, _unambiguous(protocols), instruments, versions)


def _version(row: Mapping[str, object]) -> ProtocolVersion:
    return ProtocolVersion(
        protocol=str(row["protocol"]),
        version=str(row["version"]),
        reading=str(row["reading"]),
        unit=str(row["unit"]),
        dose_g="" if row["dose_g"] is None else str(row["dose_g"]),
        zones=int(str(row["zones"] or 0)),
        start=str(row["from_date"]),
        end=str(row["to_date"] or FOREVER),
    )


def _unambiguous(names: Iterable[tuple[object, str]]) -> dict[str, str]:
    meant: dict[str, set[str]] = defaultdict(set)
    for name, slug in names:
        meant[str(name).casefold()].add(slug)
    return {name: slug for name, (slug, *more) in meant.items() if not more}
