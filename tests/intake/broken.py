"""Benches with one fault each, laid over the small bench that has none.

In:  ``tests/folders/base`` and the cases of ``tests/folders/faults/*.toml``.
Out: the bench of a case in a folder of its own, and the findings it ought to give.
"""

from __future__ import annotations

import os
import shutil
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from trialpress.bench import Bench
from trialpress.intake import FaultyBenchError, Finding, read_bench

FOLDERS = Path(__file__).parents[1] / "folders"
BASE = FOLDERS / "base"
EVENING = datetime(2031, 3, 9, 20, tzinfo=UTC)
"""The clock that findings are looked for by: after the last run of the base."""


@dataclass(frozen=True)
class Expected:
    """One finding as it ought to be."""

    code: str
    text: str


@dataclass(frozen=True)
class Case:
    """One fault: what is changed in the base, and the findings that come of it."""

    name: str
    edits: Sequence[Mapping[str, Any]]
    expected: tuple[Expected, ...]


def read_cases() -> list[Case]:
    """All cases of all files, in the files' order."""
    cases = []
    for path in sorted((FOLDERS / "faults").glob("*.toml")):
        for item in tomllib.loads(path.read_text("utf-8"))["case"]:
            expected = tuple(one for finding in item["finding"] for one in _expected(finding))
            cases.append(Case(item["name"], item["edit"], expected))
    return cases


def _expected(finding: Mapping[str, Any]) -> Iterator[Expected]:
    """One finding, or the same on each of the ``rows`` from one to another."""
    first, last = finding.get("rows", (0, 0))
    for row in range(first, last + 1):
        yield Expected(finding["code"], finding["text"].replace("{row}", str(row)))


def lay_out(edits: Sequence[Mapping[str, Any]], folder: Path) -> Bench:
    """Copy the base bench and make the edits of one case in it."""
    shutil.copytree(BASE, folder, dirs_exist_ok=True)
    for edit in edits:
        _make(edit, folder / edit["file"])
    return Bench(folder)


def _make(edit: Mapping[str, Any], path: Path) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    match edit:
        case {"old": old, "new": new}:
            text = path.read_bytes().decode("utf-8")
            assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {path}"
            path.write_bytes(text.replace(old, new).encode("utf-8"))
        case {"lines": count, "line": line}:
            more = "".join(line.replace("{n}", str(n)) for n in range(count))
            path.write_bytes(path.read_bytes() + more.encode("utf-8"))
        case {"text": text}:
            path.write_bytes(text.encode("utf-8"))
        case {"hex": digits}:
            path.write_bytes(bytes.fromhex(digits))
        case {"copy": source}:
            shutil.copyfile(FOLDERS / source, path)
        case {"rename": name}:
            path.rename(path.with_name(name))
        case {"delete": True}:
            shutil.rmtree(path) if path.is_dir() else path.unlink()
        case _:
            _make_odd(edit, path)


def _make_odd(edit: Mapping[str, Any], path: Path) -> None:
    match edit:
        case {"folder": True}:
            path.mkdir()
        case {"pipe": True}:
            path.unlink()
            os.mkfifo(path)
        case {"link": target}:
            path.unlink()
            path.symlink_to(target)
        case {"bytes": size}:
            os.truncate(path, size)  # sparse: it takes no room
        case _:
            raise ValueError(edit)


def findings_of(bench: Bench) -> tuple[Finding, ...]:
    """Everything intake finds, be it enough to refuse the bench or not."""
    try:
        return read_bench(bench, None, EVENING).findings
    except FaultyBenchError as error:
        return error.findings
