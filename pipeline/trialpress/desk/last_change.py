"""The last change that a tool made to a bench, remembered so that it can be taken back whole.

In:  the files that were changed: what they held before and hold now.
Out: the same files as they were, if all of them are as the change left them; else none is touched.

What is remembered lies in ``build/`` and may be deleted; it is input like any other file, so every
name in it is looked at before something is written or removed by it.
"""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import cast

from trialpress.bench import Bench
from trialpress.desk.bench_copy import copied_bench, findings_of
from trialpress.desk.replacing import NotKeptError, replace_durably, replace_unchanged
from trialpress.errors import FaultyDataError, UsageError
from trialpress.intake import Finding, Severity
from trialpress.lock import locked
from trialpress.ordinary_file import read_ordinary
from trialpress.paths import place_below, remove_below

MOST_BYTES = 2**30  # of the files that one adoption changes
_MOST_TOLD = 6


class NothingToUndoError(UsageError):
    """There is no change to take back, or it has been taken back."""

    def __init__(self, what: str) -> None:
        super().__init__(f"There is nothing to undo: {what} since the last was undone.")


class UndoneNoMoreError(FaultyDataError):
    """Files are not as the change left them."""

    def __init__(self, what: str, names: Sequence[str]) -> None:
        files = ", ".join(names)
        was, it_stays, there = (
            ("was", "it stays as it is", "there")
            if len(names) == 1
            else ("were", "nothing was undone", "in them")
        )
        super().__init__(
            f"{files} {was} saved by another program since {what}, so {it_stays}. "
            f"Change or delete the rows {there}."
        )


class StillNeededError(FaultyDataError):
    """Other rows refer to what would go."""

    def __init__(self, what: str, findings: Sequence[Finding]) -> None:
        text = "\n".join(finding.text for finding in findings[:_MOST_TOLD])
        more = len(findings) - _MOST_TOLD
        super().__init__(
            f"{what}, and without it the bench has a fault.\n{text}"
            + (f"\nAnd {more} more." if more > 0 else "")
        )


@dataclass(frozen=True)
class FileChange:
    """One file; ``before`` is None where there was none, ``after`` where there is to be none."""

    file: Path
    before: bytes | None
    after: bytes | None

    @property
    def back(self) -> FileChange:
        """The change that takes this one back."""
        return FileChange(self.file, self.after, self.before)


@dataclass(frozen=True)
class LastChange:
    """The memory of one tool: a file of that name in ``build/``.

    ``place`` gives the file that a name means, None where the tool never writes such a file;
    ``nothing`` says that there was no change.
    """

    bench: Bench
    memory: str
    place: Callable[[str], Path | None]
    nothing: str

    def remember(self, what: str, changes: Iterable[FileChange], of: str = "") -> None:
        """Note a change, on the disk already or about to be; ``what`` says it in a few words.

        Where ``of`` names the work and the same was cut off before, both are one change.
        """
        memory = self._recalled()
        files = dict[str, object]()
        if memory is not None and of and memory.get("of") == of and self._is_cut_off(memory):
            files = {str(item["name"]): item for item in _items(memory)}
        for change in changes:
            name = self.bench.name_of(change.file)
            first = files.get(name)
            before = None if change.before is None else _as_text(change.before)
            files[name] = {
                "name": name,
                "before": first["before"] if isinstance(first, dict) else before,
                "after": _print_of(change.after),
            }
        noted = {"what": what, "of": of, "files": list(files.values())}
        text = json.dumps(noted, ensure_ascii=False, indent=1)
        replace_durably(place_below(self.bench.root, f"build/{self.memory}"), text.encode())

    def _is_cut_off(self, memory: Mapping[str, object]) -> bool:
        """Whether a file is not as it was to become."""
        return any(
            file is None or _print_of(_bytes_of(file)) != item["after"]
            for item in _items(memory)
            for file in [self.place(str(item["name"]))]
        )

    @property
    def what(self) -> str | None:
        """What would be undone, in a few words; None where there is nothing."""
        memory = self._recalled()
        return None if memory is None else str(memory["what"])

    def undo(self) -> str:
        """Put everything back as it was before the change.

        Returns
        -------
        str
            What was undone, in a few words.

        Raises
        ------
        NothingToUndoError
            If there is none.
        UndoneNoMoreError
            If files are not as the change left them.
        StillNeededError
            If other rows refer to what would go.
        """
        with locked(self.bench):
            memory = self._recalled()
            if memory is None:
                raise NothingToUndoError(self.nothing)
            what = str(memory["what"])
            changes = [change.back for change in reversed(self._unchanged(memory, what))]
            refuse_needed(self.bench, changes, f"Not undone: {what}")
            for change in changes:
                if not done(change):
                    raise UndoneNoMoreError(what, [self.bench.name_of(change.file)])
            remove_below(self.bench.root / "build", self.memory)
            return what

    def _recalled(self) -> Mapping[str, object] | None:
        try:
            memory = json.loads(
                read_ordinary(place_below(self.bench.root, f"build/{self.memory}"), most=MOST_BYTES)
            )
        except (OSError, ValueError, RecursionError):
            return None
        return memory if _is_memory(memory) else None

    def _unchanged(self, memory: Mapping[str, object], what: str) -> list[FileChange]:
        """The files to put back; one that is back already, as a power cut leaves it, is none."""
        changes, others = list[FileChange](), list[str]()
        for item in _items(memory):
            name, before = str(item["name"]), item["before"]
            file = self.place(name)
            now = _bytes_of(file) if file is not None else None
            was = None if before is None else base64.b64decode(before)
            if file is not None and _print_of(now) == item["after"]:
                changes.append(FileChange(file, was, now))
            elif file is None or now != was:
                others.append(name)
        if others:
            raise UndoneNoMoreError(what, others)
        return changes


def refuse_needed(bench: Bench, changes: Iterable[FileChange], what: str) -> None:
    """Refuse changes that make other rows a fault; rows that only move up are the same rows.

    Raises
    ------
    StillNeededError
        If there is one; ``what`` begins its sentence.
    """
    known = {replace(finding, row=None) for finding in findings_of(bench)}
    new = [
        finding
        for finding in findings_with(bench, changes)
        if finding.severity is Severity.ERROR and replace(finding, row=None) not in known
    ]
    if new:
        raise StillNeededError(what, new)


def findings_with(bench: Bench, changes: Iterable[FileChange]) -> tuple[Finding, ...]:
    """What ``check`` says of a copy of the bench with some files changed."""
    with copied_bench(bench) as copy:
        for change in changes:
            name = bench.name_of(change.file)
            if change.after is not None:
                replace_durably(copy.root / name, change.after)
            elif (copy.root / name).exists():  # the copy leaves out what intake never reads
                remove_below(copy.root, name)
        return findings_of(copy)


def _is_memory(found: object) -> bool:
    """Whether a file in ``build/``, which anybody may have put there, is a memory."""
    if not isinstance(found, dict) or not isinstance(found.get("files"), list):
        return False
    return "what" in found and all(map(_is_item, found["files"]))


def _is_item(item: object) -> bool:
    if not isinstance(item, dict) or not {"name", "before", "after"} <= item.keys():
        return False
    try:
        base64.b64decode(item["before"] or "", validate=True)
    except (TypeError, ValueError):
        return False
    return True


def _items(memory: Mapping[str, object]) -> list[dict[str, str | None]]:
    return cast("list[dict[str, str | None]]", memory["files"])


def written(changes: Sequence[FileChange]) -> FileChange | None:
    """Write all changes, or none where a file was saved by others meanwhile: that one is given."""
    for i, change in enumerate(changes):
        if not done(change):
            for made in reversed(changes[:i]):
                done(made.back)
            return change
    return None


def done(change: FileChange) -> bool:
    """Make one change; False where the file was saved by others. An empty folder goes too."""
    if change.after is not None:
        return replace_unchanged(change.file, change.before, change.after)
    folder = change.file.parent
    try:
        if _bytes_of(change.file) not in {None, change.before}:
            return False
        remove_below(folder.parent, f"{folder.name}/{change.file.name}")
    except OSError as error:
        raise NotKeptError(change.file, error) from error
    return True


def _bytes_of(file: Path) -> bytes | None:
    return file.read_bytes() if file.is_file() else None


def _print_of(data: bytes | None) -> str | None:
    return None if data is None else hashlib.sha256(data).hexdigest()


def _as_text(data: bytes) -> str:
    return base64.b64encode(data).decode("ascii")
