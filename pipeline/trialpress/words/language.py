"""The language that is spoken, and texts in it.

In:  English texts as the code has them.
Out: their translations, filled in.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from functools import cached_property
from gettext import NullTranslations

from babel import Locale, UnknownLocaleError
from babel.numbers import get_decimal_symbol, get_group_symbol


@dataclass(frozen=True)
class Language:
    """A language: its tag as in BCP 47, how it writes numbers and dates, and its texts.

    ``texts`` are the translations, each in as many forms as ``plural`` tells apart, a rule in the
    notation of gettext; ``translations`` looks them up.
    """

    tag: str
    locale: Locale
    translations: NullTranslations = field(compare=False)
    texts: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    plural: str = "(n != 1)"

    @cached_property
    def signs(self) -> Mapping[int, str]:
        """What it writes for the signs of Python's numbers, by their code points."""
        decimal, group = get_decimal_symbol(self.locale), get_group_symbol(self.locale)
        return {ord("."): decimal, ord(","): group, ord("-"): "\N{MINUS SIGN}"}

    def __reduce__(self) -> tuple[object, ...]:
        """For another process: CLDR's data, which are large, are read there anew."""
        parts = self.tag, str(self.locale), self.translations, dict(self.texts), self.plural
        return _language_of, parts


def _language_of(
    tag: str,
    locale: str,
    translations: NullTranslations,
    texts: Mapping[str, tuple[str, ...]],
    plural: str,
) -> Language:
    return Language(tag, Locale.parse(locale), translations, texts, plural)


ENGLISH = Language("en", Locale("en", "GB"), NullTranslations())
_CAPITAL_NOUNS = {"de", "lb"}
_TAG = re.compile("[A-Za-z]{2,3}(-[A-Za-z0-9]{2,8})*")
_SPOKEN: ContextVar[Language] = ContextVar("spoken", default=ENGLISH)


def locale_of(tag: str) -> Locale | None:
    """How a language writes numbers and dates; ``None`` where CLDR does not know the tag.

    English without a country puts the day before the month, as the texts of the code do.
    """
    if tag == ENGLISH.tag:
        return ENGLISH.locale
    if not _TAG.fullmatch(
        tag
    ):  # CLDR's reader passes over what follows a dot: a way out of a folder
        return None
    try:
        return Locale.parse(tag, sep="-")
    except (UnknownLocaleError, ValueError):
        return None


def has_capital_nouns() -> bool:
    """Whether nouns keep their capital inside a sentence, as in German."""
    return spoken().locale.language in _CAPITAL_NOUNS


def spoken() -> Language:
    """The language that texts are in just now."""
    return _SPOKEN.get()


@contextmanager
def speaking(language: Language) -> Iterator[None]:
    """Word everything in one language."""
    before = _SPOKEN.set(language)
    try:
        yield
    finally:
        _SPOKEN.reset(before)


def message(text: str) -> str:
    """Mark a text that is kept now and said later: it gets into the catalogue of texts."""
    return text


def say(text: str, /, **values: object) -> str:
    """A text in the language spoken, with values in the places of their names."""
    translated = spoken().translations.gettext(text)
    return translated.format(**values) if values else translated


def say_as(meaning: str, text: str, /, **values: object) -> str:
    """As ``say``, for a text that means several things in English: ``meaning`` tells which."""
    translated = spoken().translations.pgettext(meaning, text)
    return translated.format(**values) if values else translated


def form(one: str, many: str, how_many: int) -> str:
    """The form of a text that goes with a number."""
    return spoken().translations.ngettext(one, many, how_many)


def say_count(one: str, many: str, how_many: int, /, **values: object) -> str:
    """A text that depends on a number, which stands in it at ``{count}``."""
    return form(one, many, how_many).format(count=whole(how_many), **values)


def whole(value: int) -> str:
    """A whole number, its thousands apart: ``1,204``."""
    return f"{value:,}".replace(",", spoken().signs[ord(",")])
