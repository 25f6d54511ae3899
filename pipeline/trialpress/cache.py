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
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from contextvars import ContextVar
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
_PACKAGE = Path(__file__).parent
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


_KEEPING: ContextVar[Cache | None] = ContextVar("keeping", default=None)


@contextmanager
def keeping(cache: Cache) -> Iterator[None]:
    """Keep figures that take long in this cache; ``kept`` asks for them deep inside."""
    before = _KEEPING.set(cache)
    try:
        yield
    finally:
        _KEEPING.reset(before)


def kept(kind: str, parts: Iterable[bytes], make: Callable[[], bytes]) -> bytes:
    """What is kept under a key, or is made now; outside ``keeping`` it is made every time."""
    cache = _KEEPING.get()
    if cache is None:
        return make()
    key = key_of(kind, *parts)
    content = cache.get(key)
    if content is None:
        content = make()
        cache.put(key, content)
    return content


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
        Everything it is made from, besides the program itself.
    """
    digest = sha256(program_digest())
    for part in (kind.encode(), *parts):
        digest.update(len(part).to_bytes(8, "big"))
        digest.update(part)
    return digest.hexdigest()


@cache
def program_digest() -> bytes:
    """A digest of the program as this process runs it, of its libraries, and of Python itself."""
    digest = sha256(f"{__version__} {sys.version} {sys.platform}".encode())
    for name in sorted(_libraries(sys.path)):
        digest.update(f"{name}\n".encode())
    digest.update(folder_digest(_PACKAGE))
    return digest.digest()


def templates_digest() -> bytes:
    """A digest of the shipped templates with their fonts and scripts, as they are now."""
    return folder_digest(_PACKAGE.parents[1] / "site_templates")  # beside the code in a checkout


def folder_digest(folder: Path) -> bytes:
    """A digest of every file and folder below a folder; compiled Python is left out."""
    digest = sha256()
    below = {path.relative_to(folder).as_posix(): path for path in folder.rglob("*")}
    for name in sorted(below):
        path = below[name]
        if path.suffix != ".pyc" and path.is_file():
            digest.update(f"{name} {sha256(path.read_bytes()).hexdigest()}\n".encode())
        elif path.is_dir() and path.name != "__pycache__":
            digest.update(f"{name}/\n".encode())
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
