"""The bench's own texts: how a run of each protocol is made, and the pages in another language.

In:  ``catalogue/methods/<protocol>.md`` and the protocols of the catalogue;
     ``words/<language>.po``, where the bench has one, over the translation that is shipped.
Out: the method texts by protocol, a protocol without one being a warning; the language of the
     pages; findings for what is wrong with either.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from trialpress.bench import Bench, Settings
from trialpress.intake.findings import Finding, FindingCode, Place, found
from trialpress.intake.nearest import nearest
from trialpress.intake.rows import Row
from trialpress.intake.textfile import check_unseen, read_text, unreadable
from trialpress.ordinary_file import read_ordinary
from trialpress.words import ENGLISH, Language, locale_of
from trialpress.words.catalogue import Fault, read_language, shipped_translation

MOST_METHOD_BYTES, MOST_TRANSLATION_BYTES = 2**20, 2**22
"""A method has some thousand words, all texts of the pages have half a megabyte."""


@dataclass(frozen=True)
class Methods:
    """Method texts by protocol."""

    texts: Mapping[str, str]
    findings: tuple[Finding, ...]


@dataclass(frozen=True)
class Translation:
    """The language of the pages: English where there is no other, or it cannot be read."""

    language: Language
    findings: tuple[Finding, ...]


def read_methods(bench: Bench, paths: Sequence[Path], protocols: Sequence[Row]) -> Methods:
    """Read every method text and match it with the protocols."""
    first: dict[str, Row] = {}
    for row in protocols:
        first.setdefault(row.cells["protocol"] or "", row)
    texts: dict[str, str] = {}
    findings: list[Finding] = []
    for path in paths:
        read = read_text(path, bench.name_of(path), MOST_METHOD_BYTES)
        findings += read.findings
        texts[path.stem] = read.text or ""
        findings += check_unseen(texts[path.stem], bench.name_of(path))
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


def read_translation(bench: Bench, settings: Settings | None) -> Translation:
    """Read and check the translation to the language of the settings."""
    if settings is None:
        return Translation(ENGLISH, ())
    path = bench.translation(settings.language)
    name = bench.name_of(path)
    shipped = shipped_translation(settings.language)
    if not path.exists() and shipped is None:
        return _untranslated(settings.language, name)
    try:
        data = _bytes_of(path, bench) if path.exists() else b""
    except OSError as error:
        return Translation(ENGLISH, (unreadable(error, Place(name)),))
    language, faults = read_language(settings.language, data, shipped)
    unseen = check_unseen(data.decode("utf-8", "replace"), name)
    findings = (*unseen, *(_found(fault, name) for fault in faults))
    return Translation(language or ENGLISH, findings)


def _bytes_of(path: Path, bench: Bench) -> bytes:
    return read_ordinary(path, within=bench.root, most=MOST_TRANSLATION_BYTES)


def _untranslated(tag: str, name: str) -> Translation:
    """English texts, and English numbers and dates with them: one page, one language."""
    locale = locale_of(tag)
    if locale is not None and locale.language == ENGLISH.locale.language:
        return Translation(Language(tag, locale, ENGLISH.translations), ())
    return Translation(ENGLISH, (found(FindingCode.TRANSLATION_MISSING, Place(name)),))


def _found(fault: Fault, name: str) -> Finding:
    if fault.rule == "syntax":
        return found(FindingCode.TRANSLATION_SYNTAX, Place(name, fault.line))
    variant = "" if fault.rule == "names" else fault.rule
    place = Place(name, fault.line)
    return found(FindingCode.TRANSLATION_WRONG, place, fault.text, variant=variant)
