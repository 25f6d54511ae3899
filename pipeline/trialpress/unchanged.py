"""A build that would change nothing: found by what it was made from, and by what it made.

In:  the bench folder as it is, what was asked for, the output folder, the cache.
Out: the findings of the build that made just these outputs from just these files; else nothing.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from trialpress.bench import Bench
from trialpress.cache import Cache, folder_digest, key_of, templates_digest
from trialpress.intake import Finding, FindingCode, Severity


@dataclass(frozen=True)
class Inputs:
    """Everything that a build depends on besides the program: ``asked`` in words, and files."""

    bench: Bench
    asked: str
    beside: Path
    """A folder beside the outputs that the report speaks of."""

    def key(self) -> str:
        """The key of the build, by the files as they are now."""
        folders = (self.bench.data, self.bench.own_templates, self.beside)
        files = [folder_digest(folder) for folder in folders]
        return key_of("build", self.asked.encode(), templates_digest(), *files)


def unchanged(cache: Cache, key: str, out: Path, names: Sequence[str]) -> list[Finding] | None:
    """The findings of an earlier build, where its outputs are still there as it left them."""
    if cache.folder is None:
        return None
    record = cache.get(key)
    if record is None:
        return None
    kept = json.loads(record)
    if kept["outputs"] != _outputs_digest(out, names):
        return None
    return [_finding(columns) for columns in kept["findings"]]


def remember(
    cache: Cache, key: str, out: Path, names: Sequence[str], findings: Sequence[Finding]
) -> None:
    """Keep what a build has made, and its findings."""
    if cache.folder is None:
        return
    found = [finding.as_json() for finding in findings]
    record = {"outputs": _outputs_digest(out, names), "findings": found}
    cache.put(key, json.dumps(record).encode())


def _outputs_digest(out: Path, names: Sequence[str]) -> str:
    digest = sha256()
    for name in names:
        place = out / name
        content = folder_digest(place) if place.is_dir() else _file_digest(place)
        digest.update(f"{name} {content.hex()}\n".encode())
    return digest.hexdigest()


def _file_digest(file: Path) -> bytes:
    return sha256(file.read_bytes()).digest() if file.is_file() else b""


def _finding(columns: dict[str, str | int | None]) -> Finding:
    """A finding as it was told in JSON."""
    code, severity = FindingCode(str(columns["code"])), Severity(str(columns["severity"]))
    rest = {name: value for name, value in columns.items() if name not in {"code", "severity"}}
    return Finding(code, severity, **rest)  # type: ignore[arg-type]
