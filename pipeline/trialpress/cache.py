"""What was made before, kept by a digest of all that it depends on.

In:  a folder that may be deleted at any time, keys, bytes.
Out: the bytes that were kept under a key, whole, or nothing.

A key names everything that can change its bytes, the program and its libraries included, so that
nothing kept is ever out of date: it is only not asked for any more. What cannot be read, is cut
short or was changed counts as not kept; a folder that cannot be written keeps nothing. Only bytes
are kept, never objects that could run when they are read.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from functools import cache
from hashlib import sha256
from pathlib import Path
from tempfile import NamedTemporaryFile

from trialpress import __version__

MOST_BYTES = 1 << 30
"""How much is kept, some ten benches of three hundred machines."""
MOST_REMEMBERED = 2000
"""Products, of some 20 kB."""
_REMEMBERED: dict[str, bytes] = {}
_DIGEST_BYTES = 32
_IGNORED = "*\n"  # for git, should the folder lie in a repository


@dataclass(frozen=True)
class Cache:
    """A folder of kept bytes; without one, this process remembers some of what it made last."""

    folder: Path | None = None

    def get(self, key: str) -> bytes | None:
        """What is kept under a key; None where it is not there, or not whole."""
        if self.folder is None:
            return _REMEMBERED.get(key)
        place = _place(self.folder, key)
        try:
            kept = place.read_bytes()
        except OSError:
            return None
        digest, content = kept[:_DIGEST_BYTES], kept[_DIGEST_BYTES:]
        if digest != sha256(content).digest():
            return None
        with suppress(OSError):
            os.utime(place)  # what was used last goes last
        return content

    def put(self, key: str, content: bytes) -> None:
        """Keep bytes under a key; a disk that refuses keeps nothing."""
        if self.folder is None:
            _remember(key, content)
            return
        place = _place(self.folder, key)
        with suppress(OSError):
            place.parent.mkdir(parents=True, exist_ok=True)
            with NamedTemporaryFile(dir=place.parent, delete=False) as file:
                try:
                    file.write(sha256(content).digest() + content)
                    file.close()
                    Path(file.name).replace(place)
                except OSError:
                    Path(file.name).unlink(missing_ok=True)

    def trim(self, most_bytes: int = MOST_BYTES) -> None:
        """Remove what was not used for the longest time, until no more than this is left."""
        if self.folder is None:
            return
        with suppress(OSError):
            (self.folder / ".gitignore").write_text(_IGNORED, encoding="ascii")
        kept = sorted(_files(self.folder), key=lambda file: (-file[1].st_mtime_ns, file[0]))
        left = most_bytes
        for path, stat in kept:
            left -= stat.st_size
            if left < 0:
                with suppress(OSError):
                    path.unlink()


def _place(folder: Path, key: str) -> Path:
    return folder / key[:2] / key[2:]


def _remember(key: str, content: bytes) -> None:
    _REMEMBERED[key] = content
    while len(_REMEMBERED) > MOST_REMEMBERED:
        del _REMEMBERED[next(iter(_REMEMBERED))]


def key_of(kind: str, *parts: bytes) -> str:
    """The key of one product of this program.

    Parameters
    ----------
    kind : str
        What it is.
    parts : bytes
        Everything it is made from, besides the program and what comes with it.
    """
    digest = sha256(program_digest())
    for part in (kind.encode(), *parts):
        digest.update(len(part).to_bytes(8, "big"))
        digest.update(part)
    return digest.hexdigest()


@cache
def program_digest() -> bytes:
    """A digest of the program, its templates and fonts, its libraries, and Python itself."""
    package = Path(__file__).parent
    folders = [package, package.parents[1] / "site_templates"]  # beside the code in a checkout
    digest = sha256(f"{__version__} {sys.version} {sys.platform}".encode())
    for name in sorted(_libraries(sys.path)):
        digest.update(f"{name}\n".encode())
    for folder in folders:
        digest.update(folder_digest(folder))
    return digest.digest()


def folder_digest(folder: Path) -> bytes:
    """A digest of every file below a folder with its name; compiled Python is left out."""
    digest = sha256()
    paths = [path for path, _ in _files(folder) if path.suffix != ".pyc"]
    for path in sorted(paths, key=lambda path: path.relative_to(folder).as_posix()):
        content = sha256(path.read_bytes()).hexdigest()
        digest.update(f"{path.relative_to(folder).as_posix()} {content}\n".encode())
    return digest.digest()


def _libraries(places: Iterable[str]) -> Iterator[str]:
    """Names and versions of what is installed, as its folders are called."""
    for place in places:
        with suppress(OSError):
            yield from (path.name for path in Path(place).glob("*.dist-info"))


def _files(folder: Path) -> Iterator[tuple[Path, os.stat_result]]:
    """Every file below a folder that is still there."""
    for path in folder.rglob("*"):
        with suppress(OSError):
            if path.is_file():
                yield path, path.stat()
