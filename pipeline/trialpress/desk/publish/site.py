"""A built site, made sure of before it goes out, and what going out would change.

In:  the output folder of a build, the bench, today's date, and what a target holds now.
Out: ``Site``, ready to be handed on; ``SiteChanges``; refusals that name the next step. Warnings
     where raw data under embargo may have left the machine by git: they say exactly what was seen,
     as whether a remote is public cannot be seen from here.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from trialpress.bench import Bench, snapshot
from trialpress.desk.publish.git import Git, without_passwords
from trialpress.errors import FaultyDataError, UsageError
from trialpress.flow import REPORT
from trialpress.intake.cells import is_date
from trialpress.intake.folder import TableFile, date_of
from trialpress.intake.table_file import read_contents
from trialpress.swap import put_back_retired

NOT_A_PAGE = "404.html"  # shown at any address, and never linked to
HOST_FILES = frozenset({"CNAME", ".nojekyll"})
"""What a host may have put where a site is published; its own then stands, not the site's."""


class FaultyBuildError(FaultyDataError):
    """The last build ended with faults."""

    def __init__(self, faults: int) -> None:
        super().__init__(
            f"The last build found {faults} faults, so the site is an older one. "
            "Mend them (trialpress check lists them), run trialpress build, then publish."
        )


class NotBuiltError(UsageError):
    """There is no finished build to publish."""

    def __init__(self, out: Path, reason: str) -> None:
        super().__init__(f"{out}: {reason}. Run trialpress build, then publish.")


@dataclass(frozen=True)
class Site:
    """A built site: SHA-256 of each file by its path with ``/``."""

    folder: Path
    as_of: date
    files: Mapping[str, str]

    @property
    def pages(self) -> tuple[str, ...]:
        """The paths of its pages."""
        return pages_among(self.files)


@dataclass(frozen=True)
class SiteChanges:
    """What publishing would do to the target, as paths in order."""

    added: tuple[str, ...]
    changed: tuple[str, ...]
    removed: tuple[str, ...]

    @property
    def is_empty(self) -> bool:
        """Whether the target is as it should be already."""
        return not (self.added or self.changed or self.removed)


def read_site(bench: Bench, out: Path, today: date) -> Site:
    """Make sure that what was built may be published.

    Raises
    ------
    FaultyBuildError
        If the last build ended with faults.
    NotBuiltError
        If there is no site, it was not part of the last build, it is older than the data, or it
        is as of a later date than today.
    """
    put_back_retired(out)
    folder = out / "site"
    try:
        report = json.loads((out / REPORT).read_text(encoding="utf-8"))
        as_of = date.fromisoformat(report["as_of"])
    except (OSError, ValueError, KeyError):
        raise NotBuiltError(out, "there is no report of a build") from None
    faults = [finding for finding in report["findings"] if finding["severity"] == "error"]
    if faults:
        raise FaultyBuildError(len(faults))
    if "site" not in report["written"] or not folder.is_dir():
        raise NotBuiltError(out, "the last build wrote no site")
    if as_of > today:
        reason = f"the site is as of {as_of}, which is yet to come, and may show what is hidden now"
        raise NotBuiltError(out, reason)
    if stale := _why_stale(bench, out, as_of, today):
        raise NotBuiltError(out, stale)
    return Site(folder, as_of, digests(folder))


def _why_stale(bench: Bench, out: Path, as_of: date, today: date) -> str | None:
    built_ns = (out / REPORT).stat().st_mtime_ns
    later = sorted(file for file, (saved_ns, _) in snapshot(bench).items() if saved_ns > built_ns)
    if later:
        return f"{bench.name_of(Path(later[0]))} was saved after the site was built"
    days = sorted(day.name for day in bench.days.iterdir()) if bench.days.is_dir() else []
    missed = [day for day in days if (when := date_of(day)) and as_of < when <= today]
    return f"the site is as of {as_of}, before {missed[0]}" if missed else None


def digests(folder: Path) -> dict[str, str]:
    """SHA-256 of every file below a folder, in the order of the paths."""
    files = (path for path in folder.rglob("*") if path.is_file())
    return digests_of(folder, (path.relative_to(folder).as_posix() for path in files))


def digests_of(folder: Path, paths: Iterable[str]) -> dict[str, str]:
    """SHA-256 of those of the paths that are files, in their order."""
    return {
        path: hashlib.sha256((folder / path).read_bytes()).hexdigest()
        for path in sorted(paths)
        if (folder / path).is_file()
    }


def compare(now: Mapping[str, str], then: Mapping[str, str]) -> SiteChanges:
    """What makes ``now`` into ``then``; both give a digest a path."""
    return SiteChanges(
        added=tuple(sorted(then.keys() - now.keys())),
        changed=tuple(sorted(path for path in then.keys() & now.keys() if then[path] != now[path])),
        removed=tuple(sorted(now.keys() - then.keys())),
    )


def pages_among(paths: Iterable[str]) -> tuple[str, ...]:
    """Those of the paths that are pages with an address of their own."""
    return tuple(sorted(p for p in paths if p.endswith(".html") and p != NOT_A_PAGE))


def embargo_warnings(bench: Bench, today: date) -> tuple[str, ...]:
    """One sentence a git remote of the raw data, where committed files hold hidden set-ups."""
    hidden = [f"{setup} (until {until})" for setup, until in _committed(bench, today)]
    if not hidden:
        return ()
    return tuple(
        f"The last commit of the raw data holds set-ups under embargo: {', '.join(hidden)}. "
        f"The raw data have the git remote {remote}. Whoever can read that remote can read them "
        "once they are pushed there; make sure that it is private."
        for remote in _remotes(bench)
    )


def _remotes(bench: Bench) -> list[str]:
    lines = Git(bench.root).answer("remote", "--verbose").splitlines()
    named = {without_passwords(line.rpartition(" (")[0]).replace("\t", " at ") for line in lines}
    return sorted(named)


def _committed(bench: Bench, today: date) -> Iterator[tuple[str, str]]:
    text = Git(bench.root).answer("show", "HEAD:./data/catalogue/setups.csv")
    file = TableFile(bench.catalogue / "setups.csv", "data/catalogue/setups.csv", "setups")
    for row in read_contents(text.removeprefix("\ufeff"), file).rows:
        day = row.cells["publish_on"]
        if day is not None and (not is_date(day) or day > today.isoformat()):
            yield str(row.cells["setup"]), day
