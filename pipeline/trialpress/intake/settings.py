"""Reading ``bench.toml``.

In:  the file as typed.
Out: ``Settings``, or findings for each key that is missing, unknown or cannot be right.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, fields
from functools import cache
from typing import Any
from zoneinfo import available_timezones

from trialpress.bench import Bench, Settings
from trialpress.intake.cells import currencies
from trialpress.intake.findings import Finding, FindingCode, Place, found
from trialpress.intake.meters import check_meters, meters_of
from trialpress.intake.nearest import nearest
from trialpress.intake.textfile import codes_of, read_text, unseen_characters
from trialpress.words import locale_of

FORMAT = 1
_ADDRESS = re.compile(r"https://[A-Za-z0-9-]+(\.[A-Za-z0-9-]+)*(:[0-9]{1,5})?/([A-Za-z0-9._~-]+/)*")
_LINE = re.compile(r"\(at line (\d+), column \d+\)|at end of document")
PLACEHOLDERS: Mapping[str, str] = {
    "base_url": "//your-bench.example",
    "contact": "@your-bench.example",
}
"""What the settings of a new bench have in them; no real address ends in .example (RFC 2606)."""
_DEFAULTS: Mapping[str, Any] = {
    "notice": None,
    "single_runs": "borrowed",
    "overall": "ratio",
    "show_operators": False,
    "language": "en",
    "synonyms": {},
    "meters": [],
}


@dataclass(frozen=True)
class SettingsRead:
    """What ``bench.toml`` says; ``settings`` is ``None`` where that is not enough."""

    settings: Settings | None
    findings: tuple[Finding, ...]


def read_settings(bench: Bench) -> SettingsRead:
    """Read and check ``bench.toml``."""
    name = bench.name_of(bench.settings_file)
    if not bench.settings_file.exists():
        return SettingsRead(
            None, (found(FindingCode.FILE_MISSING, Place(name), variant="settings"),)
        )
    read = read_text(bench.settings_file, name)
    if read.text is None:
        return SettingsRead(None, read.findings)
    try:
        typed = tomllib.loads(read.text)
    except (ValueError, RecursionError) as error:
        match = _LINE.search(str(error))
        row = int(match[1]) if match and match[1] else None
        finding = found(FindingCode.SETTINGS_SYNTAX, Place(name, row))
        return SettingsRead(None, (*read.findings, finding))
    if _is_whole(typed.get("format")) and typed["format"] != FORMAT:
        return SettingsRead(None, (_other_format(typed["format"], name),))
    findings = (*read.findings, *_check(typed, name))
    if findings:
        return SettingsRead(None, findings)
    whole = {**_DEFAULTS, **typed}
    settings = Settings(**{**whole, "meters": meters_of(whole["meters"])})
    return SettingsRead(settings, tuple(_placeholders(settings, name)))


def _other_format(written: int, file: str) -> Finding:
    """The one thing to say of a bench in a format of another version: the rest would mislead."""
    variant = "newer" if written > FORMAT else ""
    place = Place(file, column="format")
    return found(FindingCode.BENCH_FORMAT, place, str(written), variant=variant, read=str(FORMAT))


def _placeholders(settings: Settings, file: str) -> Iterator[Finding]:
    """What a new bench says until somebody puts the truth in its place."""
    for key in PLACEHOLDERS:
        value = str(getattr(settings, key))
        if is_placeholder(settings, key):
            yield found(
                FindingCode.SETTING_PLACEHOLDER, Place(file, column=key), value, variant=key
            )


def is_placeholder(settings: Settings, key: str) -> bool:
    """Whether a setting still is what ``trialpress new`` wrote."""
    return PLACEHOLDERS[key] in str(getattr(settings, key))


def _check(typed: Mapping[str, Any], file: str) -> list[Finding]:
    known = [field.name for field in fields(Settings)]
    free = frozenset(known) - set(typed)
    meant = {key: nearest(key, free) for key in typed if key not in known}
    findings = [_unknown(key, file, near) for key, near in meant.items()]
    for key in known:
        place = Place(file, column=key)
        if key not in typed and key not in _DEFAULTS and key not in meant.values():
            findings.append(found(FindingCode.SETTING_MISSING, place))
        elif key in typed and not _RULES[key](typed[key]):
            value = str(typed[key])
            findings.append(found(FindingCode.SETTING_WRONG, place, value, variant=key))
        elif key == "synonyms":
            findings.extend(_check_synonyms(typed.get(key, {}), file))
        elif key == "meters":
            findings.extend(check_meters(typed.get(key, []), file))
        elif unseen := unseen_characters(str(typed.get(key, ""))):
            codes = codes_of(unseen)
            findings.append(
                found(FindingCode.CONTROL_CHARACTER, place, str(typed[key]), codes=codes)
            )
    return findings


def _check_synonyms(typed: Mapping[str, object], file: str) -> Iterator[Finding]:
    """Each of a reader's words stands once, however it is written, for some words of the pages."""
    seen: dict[str, str] = {}
    for word, ours in typed.items():
        place = Place(file, column=f"synonyms.{word}")
        folded = " ".join(word.casefold().split())
        if not _is_said(word):
            yield found(FindingCode.SETTING_WRONG, place, word, variant="synonym-word")
        elif not (isinstance(ours, str) and all(map(_is_said, ours.split("|")))):
            yield found(FindingCode.SETTING_WRONG, place, str(ours), variant="synonym-words")
        elif unseen := unseen_characters(word + ours):
            codes = codes_of(unseen)
            yield found(FindingCode.CONTROL_CHARACTER, place, ours, codes=codes)
        elif folded in seen:
            finding = FindingCode.SETTING_WRONG
            yield found(finding, place, word, variant="synonym-twice", first=seen[folded])
        seen.setdefault(folded, word)


def _is_said(words: str) -> bool:
    """Whether there is a letter or a figure to search for."""
    return any(character.isalnum() for character in words)


def _unknown(key: str, file: str, near: str | None) -> Finding:
    place = Place(file, column=key)
    return found(
        FindingCode.SETTING_UNKNOWN, place, variant="nearest" if near else "", nearest=near
    )


def _is_text(value: object) -> bool:
    return isinstance(value, str) and bool(value.strip())


def _is_whole(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool)


def _is_format(value: object) -> bool:
    return _is_whole(value) and value == FORMAT


def _is_address(value: object) -> bool:
    return isinstance(value, str) and bool(_ADDRESS.fullmatch(value))


def _is_time_zone(value: object) -> bool:
    return isinstance(value, str) and value in _time_zones()


@cache
def _time_zones() -> set[str]:
    return available_timezones()


def _is_currency(value: object) -> bool:
    return isinstance(value, str) and value in currencies()


def _is_count(value: object) -> bool:
    return isinstance(value, int) and _is_whole(value) and value >= 1


def _is_confidence(value: object) -> bool:
    return isinstance(value, float) and 0.5 < value < 1  # noqa: PLR2004, the range the design gives


def _is_single_runs(value: object) -> bool:
    return value in ("borrowed", "open")


def _is_overall(value: object) -> bool:
    return value in ("ratio", "steps")


def _is_yes_or_no(value: object) -> bool:
    return isinstance(value, bool)


def _is_language(value: object) -> bool:
    return isinstance(value, str) and locale_of(value) is not None


def _is_table(value: object) -> bool:
    return isinstance(value, dict)


def _is_list(value: object) -> bool:
    return isinstance(value, list)


_RULES: Mapping[str, Callable[[object], bool]] = {
    "format": _is_format,
    "name": _is_text,
    "base_url": _is_address,
    "time_zone": _is_time_zone,
    "licence": _is_text,
    "contact": _is_text,
    "currency": _is_currency,
    "top_n": _is_count,
    "confidence": _is_confidence,
    "disclosure": _is_text,
    "notice": _is_text,
    "single_runs": _is_single_runs,
    "overall": _is_overall,
    "show_operators": _is_yes_or_no,
    "language": _is_language,
    "synonyms": _is_table,
    "meters": _is_list,
}
