"""A site mirrored into a folder, for hosts that copy one.

In:  a site and a folder, which may hold other things.
Out: the folder with the site in it. A manifest there says which files are ours; nothing else is
     changed or removed. It is written before the first file and after the last, so that a copy
     that was cut off is taken up again.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from trialpress.bench import Bench
from trialpress.desk.publish.site import HOST_FILES, Site, SiteChanges, compare, digests_of
from trialpress.desk.replacing import NotKeptError, remains_in, replace_durably
from trialpress.errors import UsageError
from trialpress.paths import Destination, destination_of, place_below, remove_below

MANIFEST = ".trialpress-published.json"


class ForeignFileError(UsageError):
    """A file in the folder is somebody else's."""

    def __init__(self, file: Path, others: int) -> None:
        more = f" (and {others} more)" if others else ""
        super().__init__(
            f"{file}{more} is not as trialpress publish left it, so nothing was changed. "
            "Move it away, or choose another folder with --to-folder."
        )


class TakenFolderError(UsageError):
    """The folder holds, or lies in, what a bench is made of or what is being published."""

    def __init__(self, folder: Path, place: Path) -> None:
        super().__init__(
            f"{folder} cannot be published into: {place} is in it, or it is in that. Choose a "
            "folder of its own with --to-folder."
        )


class ManifestError(UsageError):
    """The manifest cannot be read."""

    def __init__(self, file: Path) -> None:
        super().__init__(
            f"{file} is no list of files that were published into this folder. Put it back from a "
            "copy, or choose another folder with --to-folder."
        )


@dataclass(frozen=True)
class Mirror:
    """What copying would change.

    ``files`` gives the digest of what is to be there of ours, ``owned`` those that our files there
    may have, both by path.
    """

    folder: Path
    files: Mapping[str, str]
    changes: SiteChanges
    live: tuple[str, ...]
    owned: Mapping[str, Sequence[str]]


def plan_mirror(folder: Path, site: Site, bench: Bench) -> Mirror:
    """Compare a folder with a site; nothing is written.

    Raises
    ------
    ForeignFileError
        If a file that would be changed or removed is not ours.
    ManifestError
        If the manifest is there and cannot be read, or names a file outside the folder.
    TakenFolderError
        If it holds, or lies in, the bench's own data or the site itself.
    """
    _refuse_overlap(folder, (site.folder, bench.data, bench.own_templates))
    owned = _read_manifest(folder / MANIFEST)
    if any(destination_of(path, folder) is not Destination.INSIDE for path in owned):
        raise ManifestError(folder / MANIFEST)
    live = digests_of(folder, owned.keys() | site.files.keys())
    hosts = (HOST_FILES & live.keys()) - owned.keys()
    files = {path: digest for path, digest in site.files.items() if path not in hosts}
    live = {path: digest for path, digest in live.items() if path not in hosts}
    changes = compare(live, files)
    foreign = [
        path
        for path in (*changes.changed, *changes.removed)
        if live[path] not in owned.get(path, ())
    ]
    astray = [path for path in files if destination_of(path, folder) is not Destination.INSIDE]
    if foreign or astray:
        first, *others = sorted({*foreign, *astray})
        raise ForeignFileError(folder / first, len(others))
    return Mirror(folder, files, changes, tuple(sorted(live.keys() & owned.keys())), owned)


def mirror(plan: Mirror, site: Site) -> None:
    """Copy what is new, pages last, then remove what is gone.

    Raises
    ------
    NotKeptError
        If the disk refuses; publishing again goes on from there.
    """
    manifest = plan.folder / MANIFEST
    changes = plan.changes
    _remove_remains(plan.folder, {MANIFEST, *plan.owned, *plan.files})
    new = sorted(
        (*changes.added, *changes.changed), key=lambda path: (path.endswith(".html"), path)
    )
    if not changes.is_empty:
        either = {
            path: sorted({*plan.owned.get(path, ()), plan.files.get(path, "")} - {""})
            for path in plan.owned.keys() | plan.files.keys()
        }
        _write_manifest(manifest, either)
    for path in new:
        replace_durably(place_below(plan.folder, path), (site.folder / path).read_bytes())
    for path in changes.removed:
        _remove(plan.folder, path)
    ours = {path: [digest] for path, digest in plan.files.items()}
    if ours != plan.owned:
        _write_manifest(manifest, ours)


def _remove(folder: Path, path: str) -> None:
    try:
        remove_below(folder, path)
    except OSError as error:
        raise NotKeptError(folder / path, error) from error


def _remove_remains(folder: Path, ours: Iterable[str]) -> None:
    """Remove the halves of our files that a copy left which was cut off."""
    names: dict[PurePosixPath, set[str]] = {}
    for path in map(PurePosixPath, ours):
        names.setdefault(path.parent, set()).add(path.name)
    for parent, known in sorted(names.items()):
        for half in remains_in(folder / parent, known):
            _remove(folder, str(parent / half.name))


def _refuse_overlap(folder: Path, taken: Sequence[Path]) -> None:
    target = folder.resolve()
    for place in map(Path.resolve, taken):
        if target.is_relative_to(place) or place.is_relative_to(target):
            raise TakenFolderError(folder, place)


def _read_manifest(file: Path) -> dict[str, list[str]]:
    try:
        owned = json.loads(file.read_text(encoding="utf-8"))["files"]
        return {str(path): [str(digest) for digest in found] for path, found in owned.items()}
    except FileNotFoundError:
        return {}
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        raise ManifestError(file) from None


def _write_manifest(file: Path, owned: Mapping[str, Sequence[str]]) -> None:
    text = json.dumps({"files": dict(sorted(owned.items()))}, ensure_ascii=False, indent=1)
    replace_durably(file, f"{text}\n".encode())
