"""Reading the texts that say how a run of each protocol is made.

In:  ``catalogue/methods/<protocol>.md`` and the protocols of the catalogue.
Out: the texts by protocol; a protocol without one is a warning.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from trialpress.bench import Bench
from trialpress.intake.findings import Finding, FindingCode, Place, found
from trialpress.intake.nearest import nearest
from trialpress.intake.rows import Row
from trialpress.intake.textfile import read_text


@dataclass(frozen=True)
class Methods:
    """Method texts by protocol."""

    texts: Mapping[str, str]
    findings: tuple[Finding, ...]


def read_methods(bench: Bench, paths: Sequence[Path], protocols: Sequence[Row]) -> Methods:
    """Read every method text and match it with the protocols."""
    first: dict[str, Row] = {}
    for row in protocols:
        first.setdefault(row.cells["protocol"] or "", row)
    texts: dict[str, str] = {}
    findings: list[Finding] = []
    for path in paths:
        read = read_text(path, bench.name_of(path))
        findings += read.findings
        texts[path.stem] = read.text or ""
        if path.stem not in first:
            findings.append(_unknown(bench.name_of(path), path.stem, frozenset(first)))
    findings += _missing(first, texts)
    return Methods(texts, tuple(findings))


def _unknown(name: str, protocol: str, known: frozenset[str]) -> Finding:
    near = nearest(protocol, known)
    variant = "nearest" if near else ""
    return found(FindingCode.METHOD_UNKNOWN, Place(name), protocol, variant=variant, nearest=near)


def _missing(first: Mapping[str, Row], texts: Mapping[str, str]) -> Iterator[Finding]:
    for protocol, row in first.items():
        if protocol and not texts.get(protocol, "").strip():
            yield found(FindingCode.METHOD_MISSING, row.place("protocol"), protocol)
