"""An entry tried, kept, and undone.

In:  a bench and an entry.
Out: what ``check`` would say of it; the row on the disk; the bench as it was before the last one.

The rules are those of ``check`` and no others: an entry, and its undoing too, is tried on a copy of
the bench. What is needed to undo lies in ``build/``, and may be deleted.
"""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from trialpress.bench import Bench
from trialpress.desk.append import MOST_TRIES, ChangingFileError
from trialpress.desk.bench_copy import copied_bench, findings_of
from trialpress.desk.catalogue.entry import NOTHING_WRITTEN, FileChange, Placed, TypedEntry, place
from trialpress.desk.catalogue.tables import ENTERED, file_of
from trialpress.desk.replacing import NotKeptError, replace_durably, replace_unchanged
from trialpress.errors import FaultyDataError, UsageError
from trialpress.intake import Finding, FindingCode, Severity, read_schema
from trialpress.lock import locked
from trialpress.paths import place_below, remove_below

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


class NothingToUndoError(UsageError):
    """Nothing was added or changed here, or it has been undone."""

    def __init__(self) -> None:
        super().__init__(
            "There is nothing to undo: no row was added or changed here since the last was undone."
        )


class UndoneNoMoreError(FaultyDataError):
    """The file is not as the last entry left it."""

    def __init__(self, what: str, name: str) -> None:
        super().__init__(
            f"{name} was saved by another program since {what}, so it stays as it is. "
            "Change or delete the row there."
        )


class StillNeededError(FaultyDataError):
    """Other rows refer to the one that would go."""

    def __init__(self, what: str, findings: Sequence[Finding]) -> None:
        text = "\n".join(finding.text for finding in findings)
        super().__init__(f"Not undone: {what}, and without it the bench has a fault.\n{text}")


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
        for finding in _findings_with(bench, placed.changes)
        if (finding.file == name and finding.row == placed.row) or finding not in before
    ]
    return EntryVerdict(
        tuple(sorted(own, key=lambda finding: finding.severity is not Severity.ERROR))
    )


def _findings_with(bench: Bench, changes: Iterable[FileChange]) -> tuple[Finding, ...]:
    """What ``check`` says of a copy of the bench with some files changed."""
    with copied_bench(bench) as copy:
        for change in changes:
            replace_durably(copy.root / bench.name_of(change.file), change.after)
        return findings_of(copy)


def keep(bench: Bench, entry: TypedEntry) -> Kept:
    """Write an entry, unless it would stop the build; to keep one twice is no fault.

    Raises
    ------
    EntryRefusedError
        If it would be a fault, or make another row one.
    RowGoneError, ChangedMeanwhileError, NoSuchColumnError, UnreadableTableError
        If the row has no place in its file.
    NotKeptError, ChangingFileError
        If the disk refuses, or another program saves the file all the time.
    """
    with locked(bench):
        for _ in range(MOST_TRIES):
            placed = place(bench, entry)
            verdict = _verdict(bench, placed, None)
            if not verdict.may_be_kept:
                raise EntryRefusedError(entry, verdict.errors)
            if _written(placed.changes):
                if placed.changes:
                    _remember(bench, entry, placed.changes)
                name = bench.name_of(placed.file)
                return Kept(name, placed.row, bool(placed.changes), verdict.findings)
    raise ChangingFileError(placed.file)


def _written(changes: Sequence[FileChange]) -> bool:
    """Write all changes or none of them; False where a file was saved by others meanwhile."""
    for i, change in enumerate(changes):
        if not replace_unchanged(change.file, change.before, change.after):
            for made in changes[:i]:
                _put_back(made)
            return False
    return True


def _put_back(change: FileChange) -> bool:
    if change.before is not None:
        return replace_unchanged(change.file, change.after, change.before)
    try:
        remove_below(change.file.parent, change.file.name)
    except OSError as error:
        raise NotKeptError(change.file, error) from error
    return True


def _sentence(entry: TypedEntry, finding: Finding) -> str:
    """A finding as told to whoever types: the place only where it is not in their own row."""
    is_own = finding.file.endswith(f"/{entry.table}.csv") and finding.column
    where = finding.column if is_own else finding.where
    return f"{where}: {finding.problem}. {finding.remedy}"


def _remember(bench: Bench, entry: TypedEntry, changes: Sequence[FileChange]) -> None:
    memory = {
        "what": f"{' '.join(entry.own_key)} was {'added to' if entry.key is None else 'changed in'}"
        f" {entry.table}.csv",
        "files": [
            {
                "name": bench.name_of(change.file),
                "before": None if change.before is None else _as_text(change.before),
                "after": hashlib.sha256(change.after).hexdigest(),
            }
            for change in changes
        ],
    }
    text = json.dumps(memory, ensure_ascii=False, indent=1)
    replace_durably(place_below(bench.root, f"build/{MEMORY}"), text.encode())


def _as_text(data: bytes) -> str:
    return base64.b64encode(data).decode("ascii")


def last_kept(bench: Bench) -> str | None:
    """What would be undone, in a few words; None where there is nothing."""
    memory = _memory(bench)
    return None if memory is None else str(memory["what"])


def _memory(bench: Bench) -> Mapping[str, object] | None:
    try:
        memory = json.loads(place_below(bench.root, f"build/{MEMORY}").read_bytes())
    except (OSError, ValueError):
        return None
    return memory if isinstance(memory, dict) and {"what", "files"} <= memory.keys() else None


def undo(bench: Bench) -> str:
    """Put everything back as it was before the last entry.

    Returns
    -------
    str
        What was undone, in a few words.

    Raises
    ------
    NothingToUndoError
        If there is none.
    UndoneNoMoreError
        If a file is not as the entry left it.
    StillNeededError
        If other rows refer to what would go.
    """
    with locked(bench):
        memory = _memory(bench)
        if memory is None:
            raise NothingToUndoError
        what = str(memory["what"])
        changes = [_remembered(bench, item, what) for item in _files(memory)]
        _refuse_needed(bench, changes, what)
        for change in reversed(changes):  # the row before its method text
            if not _put_back(change):
                raise UndoneNoMoreError(what, bench.name_of(change.file))
        remove_below(bench.root / "build", MEMORY)
        return what


def _files(memory: Mapping[str, object]) -> list[Mapping[str, str | None]]:
    files = memory["files"]
    return files if isinstance(files, list) else []


def _remembered(bench: Bench, item: Mapping[str, str | None], what: str) -> FileChange:
    """What one file was, if it is still as the entry left it."""
    name = str(item["name"])
    file = _entered_file(bench, name)
    now = file.read_bytes() if file is not None and file.is_file() else b""
    if file is None or hashlib.sha256(now).hexdigest() != item["after"]:
        raise UndoneNoMoreError(what, name)
    before = item["before"]
    return FileChange(file, None if before is None else base64.b64decode(before), now)


def _entered_file(bench: Bench, name: str) -> Path | None:
    """The file of that name, if it is one that entries are written to."""
    files = {bench.name_of(file_of(bench, table)) for table in ENTERED}
    folder = f"{bench.name_of(bench.catalogue)}/methods/"
    is_method = name.startswith(folder) and name.endswith(".md")
    return place_below(bench.root, name) if name in files or is_method else None


def _refuse_needed(bench: Bench, changes: Sequence[FileChange], what: str) -> None:
    known = frozenset(findings_of(bench))
    with copied_bench(bench) as copy:
        for change in changes:
            name = bench.name_of(change.file)
            if change.before is None:
                remove_below(copy.root, name)
            else:
                replace_durably(copy.root / name, change.before)
        found = [f for f in findings_of(copy) if f not in known and f.severity is Severity.ERROR]
    if found:
        raise StillNeededError(what, found)
