"""The files of the repository.

In:  git's list of tracked files, and those not yet added that it does not ignore.
Out: paths, and the breaches of a rule over many of them.
"""

from __future__ import annotations

import subprocess
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

ROOT = Path(__file__).parents[2]


def repository_files(*suffixes: str, below: str = ".") -> list[Path]:
    """Files of the repository below a folder, relative to its root."""
    listed = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard", "--", below],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    paths = sorted({Path(line) for line in listed.stdout.splitlines()})
    return [p for p in paths if (not suffixes or p.suffix in suffixes) and (ROOT / p).is_file()]


def read(path: Path) -> str | None:
    """The text of a file; None where it is not text."""
    try:
        return (ROOT / path).read_text(encoding="utf-8")
    except UnicodeDecodeError:
        return None


def breaches(paths: Iterable[Path], rule: Callable[[str], Iterable[str]]) -> Iterator[str]:
    """Every breach of a rule about text, with the file it is in."""
    for path in paths:
        text = read(path)
        if text is not None:
            yield from (f"{path}: {breach}" for breach in rule(text))
