"""An entry tried, kept, and undone.

In:  a bench and an entry.
Out: what ``check`` would say of it; the row on the disk; the bench as it was before the last one.

The rules are those of ``check`` and no others: an entry, and its undoing too, is tried on a copy of
the bench. What is needed to undo lies in ``build/``, and may be deleted.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from trialpress.bench import Bench
from trialpress.desk.append import MOST_TRIES, ChangingFileError
from trialpress.desk.bench_copy import findings_of
from trialpress.desk.catalogue.entry import NOTHING_WRITTEN, Placed, TypedEntry, place
from trialpress.desk.catalogue.tables import ENTERED, file_of
from trialpress.desk.last_change import (
    FileChange,
    LastChange,
    findings_with,
    refuse_needed,
    written,
)
from trialpress.errors import FaultyDataError
from trialpress.intake import Finding, FindingCode, Severity, read_schema
from trialpress.lock import locked
from trialpress.paths import place_below

MEMORY = "last-entry.json"


class EntryRefusedError(FaultyDataError):
    """A row that would stop the build is not written."""

    def __init__(self, entry: TypedEntry, findings: Sequence[Finding]) -> None:
        self.findings = tuple(findings)
        if any(finding.code is FindingCode.KEY_REPEATED for finding in findings):
            key = read_schema(entry.table).key[-1]
            problem = (
                f"{entry.table}.csv has a row {' '.join(entry.own_key)} already; another window "
                f"may have added it just now. Give this one another {key}, or change that row."
            )
        else:
            problem = "\n".join(_sentence(entry, finding) for finding in findings)
        super().__init__(f"{NOTHING_WRITTEN} {problem}")


@dataclass(frozen=True)
class EntryVerdict:
    """What ``check`` would say of an entry, or only since it is there; faults first."""

    findings: tuple[Finding, ...]

    @property
    def errors(self) -> tuple[Finding, ...]:
        """What would stop a build."""
        return tuple(f for f in self.findings if f.severity is Severity.ERROR)

    @property
    def may_be_kept(self) -> bool:
        """Whether nothing would."""
        return not self.errors


@dataclass(frozen=True)
class Kept:
    """Where an entry stands; ``is_new`` is false where all of it stood there before."""

    file: str
    row: int
    is_new: bool
    findings: tuple[Finding, ...]


def judge(bench: Bench, entry: TypedEntry, known: Iterable[Finding] | None = None) -> EntryVerdict:
    """Say what ``check`` would say of an entry.

    Parameters
    ----------
    bench : Bench
        The bench as it is.
    entry : TypedEntry
        The row.
    known : iterable of Finding or None
        What is known to be wrong with the bench without it; None where nobody has looked.

    Raises
    ------
    RowGoneError, ChangedMeanwhileError, NoSuchColumnError, UnreadableTableError
        If the row has no place in its file.
    """
    return _verdict(bench, place(bench, entry), known)


def _verdict(bench: Bench, placed: Placed, known: Iterable[Finding] | None) -> EntryVerdict:
    before = frozenset(findings_of(bench) if known is None else known)
    name = bench.name_of(placed.file)
    own = [
        finding
        for finding in findings_with(bench, placed.changes)
        if (finding.file == name and finding.row == placed.row) or finding not in before
    ]
    return EntryVerdict(
        tuple(sorted(own, key=lambda finding: finding.severity is not Severity.ERROR))
    )


def keep(bench: Bench, entry: TypedEntry) -> Kept:
    """Write an entry, unless it would stop the build; to keep one twice is no fault.

    Raises
    ------
    EntryRefusedError, StillNeededError
        If it would be a fault, or make another row one.
    RowGoneError, ChangedMeanwhileError, NoSuchColumnError, UnreadableTableError
        If the row has no place in its file.
    NotKeptError, ChangingFileError
        If the disk refuses, or another program saves the file all the time.
    """
    with locked(bench):
        for _ in range(MOST_TRIES):
            placed = place(bench, entry)
            verdict = _verdict_or_refusal(bench, entry, placed)
            if written(placed.changes) is None:
                if placed.changes:
                    _remember(bench, entry, placed.changes)
                name = bench.name_of(placed.file)
                return Kept(name, placed.row, bool(placed.changes), verdict.findings)
    raise ChangingFileError(placed.file)


def _verdict_or_refusal(bench: Bench, entry: TypedEntry, placed: Placed) -> EntryVerdict:
    if entry.is_removed:
        what = f"{NOTHING_WRITTEN} {' '.join(entry.own_key)} stands in {entry.table}.csv"
        refuse_needed(bench, placed.changes, what)
        return EntryVerdict(())
    verdict = _verdict(bench, placed, None)
    if not verdict.may_be_kept:
        raise EntryRefusedError(entry, verdict.errors)
    return verdict


def _sentence(entry: TypedEntry, finding: Finding) -> str:
    """A finding as told to whoever types: the place only where it is not in their own row."""
    is_own = finding.file.endswith(f"/{entry.table}.csv") and finding.column
    where = finding.column if is_own else finding.where
    return f"{where}: {finding.problem}. {finding.remedy}"


def _remember(bench: Bench, entry: TypedEntry, changes: Sequence[FileChange]) -> None:
    verb = "removed from" if entry.is_removed else "added to" if entry.key is None else "changed in"
    what = f"{' '.join(entry.own_key)} was {verb} {entry.table}.csv"
    _last(bench).remember(what, changes)


def last_kept(bench: Bench) -> str | None:
    """What would be undone, in a few words; None where there is nothing."""
    return _last(bench).what


def undo(bench: Bench) -> str:
    """Put everything back as it was before the last entry; as ``LastChange.undo``."""
    return _last(bench).undo()


def _last(bench: Bench) -> LastChange:
    nothing = "no row was added or changed here"
    return LastChange(bench, MEMORY, partial(_entered_file, bench), nothing)


def _entered_file(bench: Bench, name: str) -> Path | None:
    """The file of that name, if it is one that entries are written to."""
    files = {bench.name_of(file_of(bench, table)) for table in ENTERED}
    folder = f"{bench.name_of(bench.catalogue)}/methods/"
    is_method = name.startswith(folder) and name.endswith(".md")
    return place_below(bench.root, name) if name in files or is_method else None
