"""An edition made: proposed, checked against the ones before, frozen.

In:  a bench, a date, and the version asked for, if any.
Out: ``MadeEdition`` with the proposal; where a version was asked for, its zip in ``data/editions``.
"""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from trialpress.bench import Bench
from trialpress.dataset import Release, write_dataset
from trialpress.dataset.archive import ARCHIVE
from trialpress.dataset.release import CHANGES_FILE
from trialpress.desk.edition.change_log import change_log
from trialpress.desk.edition.changes import Changes, changes_between
from trialpress.desk.replacing import NotKeptError, replace_unchanged
from trialpress.editions import FIRST, Edition, Step, Version, opened_archive, read_editions
from trialpress.errors import UsageError
from trialpress.flow import open_whole
from trialpress.lock import locked
from trialpress.store import Store


class NothingNewError(UsageError):
    """Nothing changed since the last edition."""

    def __init__(self, last: Edition) -> None:
        super().__init__(
            f"Nothing has changed since the edition {last.version} (as of {last.as_of}), so there "
            "is nothing to freeze. Cite that one."
        )


class TooSmallVersionError(UsageError):
    """A version would tell of less than has changed."""

    def __init__(self, asked: Version, proposed: Version) -> None:
        super().__init__(
            f"The version {asked} is too small for what has changed: it has to be {proposed} or "
            "greater. Nothing was written."
        )


class TakenVersionError(UsageError):
    """An edition of that version was made before."""

    def __init__(self, file: Path) -> None:
        super().__init__(f"{file} is there already, and an edition is never overwritten.")


class EarlierDateError(UsageError):
    """An edition would be older than the one before."""

    def __init__(self, as_of: date, last: Edition) -> None:
        super().__init__(
            f"The edition {last.version} is as of {last.as_of}; one as of {as_of} cannot follow it."
        )


@dataclass(frozen=True)
class ProposedEdition:
    """What changed since the last edition, and the number that tells of it."""

    last: Edition | None
    changes: Changes | None
    step: Step | None
    version: Version


@dataclass(frozen=True)
class MadeEdition:
    """A proposal; ``file`` where an edition was written."""

    proposal: ProposedEdition
    log: str
    file: Path | None


def make_edition(
    bench: Bench, as_of: date, asked: Version | None, tell: Callable[[str], None]
) -> MadeEdition:
    """Propose the next edition and, where a version is asked for, freeze it.

    Parameters
    ----------
    bench : Bench
        The bench.
    as_of : date
        What is visible then is frozen.
    asked : Version or None
        None: nothing is written.
    tell : callable
        Called with a few words as each step begins.

    Raises
    ------
    FaultyBenchError
        If the data have faults.
    NothingNewError, TooSmallVersionError, TakenVersionError, EarlierDateError
        If there is nothing to freeze under that number.
    NotKeptError
        If the disk refuses.
    """
    with locked(bench):
        editions = read_editions(bench, date.max)
        last = editions[-1] if editions else None
        if last and as_of < last.as_of:
            raise EarlierDateError(as_of, last)
        if asked:
            refuse_taken(bench, asked)
        tell("working out everything that is visible")
        with open_whole(bench, as_of) as store, _scratch() as scratch:
            tell("comparing with the last edition")
            proposal = _proposal(store, last, scratch)
            version = asked or proposal.version
            refuse_small(version, proposal.version)
            log = change_log(version, as_of, proposal.changes, _earlier_log(last))
            if asked is None:
                return MadeEdition(proposal, log, None)
            tell("writing the edition")
            write_dataset(store, scratch / "edition", Release(str(version), log))
            file = bench.editions / f"{version}.zip"
            if not replace_unchanged(file, None, (scratch / "edition" / ARCHIVE).read_bytes()):
                raise TakenVersionError(file)
            return MadeEdition(proposal, log, file)


def refuse_taken(bench: Bench, asked: Version) -> None:
    """Refuse a version that an edition has.

    Raises
    ------
    TakenVersionError
        If it has.
    """
    file = bench.editions / f"{asked}.zip"
    if file.exists():
        raise TakenVersionError(file)


def refuse_small(asked: Version, proposed: Version) -> None:
    """Refuse a version that tells of less than has changed.

    Raises
    ------
    TooSmallVersionError
        If it does.
    """
    if asked < proposed:
        raise TooSmallVersionError(asked, proposed)


@contextmanager
def _scratch() -> Iterator[Path]:
    try:
        with tempfile.TemporaryDirectory(prefix="trialpress-edition-") as folder:
            yield Path(folder)
    except OSError as error:
        raise NotKeptError(Path(tempfile.gettempdir()), error) from error


def _proposal(store: Store, last: Edition | None, scratch: Path) -> ProposedEdition:
    if last is None:
        return ProposedEdition(None, None, None, FIRST)
    write_dataset(store, scratch / "now")
    with opened_archive(last.file) as archive:
        archive.unpack(scratch / "last")
    changes = changes_between(scratch / "last", scratch / "now")
    if changes.step is None:
        raise NothingNewError(last)
    return ProposedEdition(last, changes, changes.step, last.version.after(changes.step))


def _earlier_log(last: Edition | None) -> str:
    if last is None:
        return ""
    with opened_archive(last.file) as archive:
        return archive.read(CHANGES_FILE).decode("utf-8")
