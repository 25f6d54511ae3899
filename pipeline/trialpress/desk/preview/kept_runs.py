"""Runs that were kept from the bench sheet, and those of them that are gone from their file.

In:  each draft as it was kept, and the files as they are now.
Out: the drafts whose run no row names any more. An editor asks for no lock: one that read a file
     before a run was kept, and saves it afterwards, takes the run away without knowing.
"""

from __future__ import annotations

import threading
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from trialpress.bench import Bench
from trialpress.desk.append import UnreadableTableError, read_table_text
from trialpress.desk.replacing import NotKeptError
from trialpress.desk.sheet.draft import Draft
from trialpress.errors import UsageError


class NotKeptHereError(UsageError):
    """The page asks about a run that this preview did not keep."""

    def __init__(self, run: object) -> None:
        super().__init__(f"{run} is no run that was kept since this preview began.")


@dataclass
class KeptRuns:
    """What one preview kept; several pages may ask at once."""

    bench: Bench
    _drafts: dict[str, Draft] = field(default_factory=dict)
    _changing: threading.Lock = field(default_factory=threading.Lock)

    def remember(self, draft: Draft) -> None:
        """Note a run whose rows are on the disk."""
        with self._changing:
            self._drafts[draft.run] = draft

    def forget(self, run: object) -> None:
        """Let a run go that was taken out on purpose."""
        with self._changing:
            self._drafts.pop(str(run), None)

    def draft(self, run: object) -> Draft:
        """The rows of a run as they were kept.

        Raises
        ------
        NotKeptHereError
            If this preview did not keep it.
        """
        draft = self._drafts.get(str(run))
        if draft is None:
            raise NotKeptHereError(run)
        return draft

    def gone(self) -> Mapping[str, Path]:
        """The runs that are not in their file any more, with that file; in the order of keeping."""
        with self._changing:
            drafts = list(self._drafts.values())
        files = {draft.file(self.bench) for draft in drafts}
        named = {file: _runs_in(file) for file in files}
        return {
            draft.run: file
            for draft in drafts
            if (runs := named[file := draft.file(self.bench)]) is not None and draft.run not in runs
        }


def _runs_in(file: Path) -> frozenset[str] | None:
    """The runs that a file names; None where it cannot be read, which is a finding of its own."""
    try:
        table = read_table_text(file)
    except (UnreadableTableError, NotKeptError):
        return None
    if table is None:
        return frozenset()
    rows = (table.house_row(i) for i in range(1, len(table.records)))
    return frozenset(str(row.get("run", "")) for row in rows)
