"""Reading the texts of the pages in the bench's language.

In:  ``words/<language>.po``, where the bench has one.
Out: the language, or findings for what is wrong with the file.
"""

from __future__ import annotations

from dataclasses import dataclass

from trialpress.bench import Bench, Settings
from trialpress.intake.findings import Finding, FindingCode, Place, found
from trialpress.words import ENGLISH, Language, locale_of
from trialpress.words.catalogue import Fault, read_language


@dataclass(frozen=True)
class Translation:
    """The language of the pages: English where there is no other, or it cannot be read."""

    language: Language
    findings: tuple[Finding, ...]


def read_translation(bench: Bench, settings: Settings | None) -> Translation:
    """Read and check the translation to the language of the settings."""
    if settings is None:
        return Translation(ENGLISH, ())
    path = bench.translation(settings.language)
    name = bench.name_of(path)
    if not path.exists():
        return _untranslated(settings.language, name)
    try:
        language, faults = read_language(settings.language, path.read_bytes())
    except OSError as error:
        reason = error.strerror or type(error).__name__
        finding = found(FindingCode.FILE_UNREADABLE, Place(name), reason=reason)
        return Translation(ENGLISH, (finding,))
    return Translation(language or ENGLISH, tuple(_found(fault, name) for fault in faults))


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
