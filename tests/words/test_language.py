"""Texts, numbers and dates in another language.

The signs and names are those of CLDR as Babel has them; the expected ones are from memory of how
German and Polish are written, checked against CLDR 47.
"""

from __future__ import annotations

from datetime import date

import pytest

from trialpress.words import ENGLISH, Language, figures, locale_of, say, say_as, say_count, speaking
from trialpress.words.catalogue import read_language

POLISH = r"""
msgid ""
msgstr ""
"Content-Type: text/plain; charset=utf-8\n"
"Plural-Forms: nplurals=3; "
"plural=(n==1 ? 0 : n%10>=2 && n%10<=4 && (n%100<10 || n%100>=20) ? 1 : 2);\n"

msgid "run"
msgid_plural "runs"
msgstr[0] "przebieg"
msgstr[1] "przebiegi"
msgstr[2] "przebiegów"

msgid "{count} run is planned on {floor}."
msgid_plural "{count} runs are planned on {floor}."
msgstr[0] "{floor}: zaplanowano przebieg."
msgstr[1] "{floor}: zaplanowano {count} przebiegi."
msgstr[2] "{floor}: zaplanowano {count} przebiegów."

msgctxt "verdict"
msgid "level"
msgstr "na równi"

#, fuzzy
msgid "Standing"
msgstr "Stanie"
"""


def language_of(tag: str, texts: str = "") -> Language:
    language, faults = read_language(tag, texts.encode())
    assert not faults
    assert language is not None
    return language


def test_texts_come_in_the_form_that_a_number_asks_for() -> None:
    one, many = "{count} run is planned on {floor}.", "{count} runs are planned on {floor}."

    with speaking(language_of("pl", POLISH)):
        counts = [figures.count(how_many, "run", "runs") for how_many in (1, 3, 5, 22, 1204)]
        planned = [say_count(one, many, how_many, floor="Sisal") for how_many in (1, 2, 5)]

    nbsp = figures.NO_BREAK_SPACE
    assert counts == [
        f"1{nbsp}przebieg",
        f"3{nbsp}przebiegi",
        f"5{nbsp}przebiegów",
        f"22{nbsp}przebiegi",
        f"1{nbsp}204{nbsp}przebiegi",
    ]
    assert planned == [
        "Sisal: zaplanowano przebieg.",
        "Sisal: zaplanowano 2 przebiegi.",
        "Sisal: zaplanowano 5 przebiegów.",
    ]


def test_what_has_no_translation_or_an_uncertain_one_stays_english() -> None:
    with speaking(language_of("pl", POLISH)):
        assert say("Standing") == "Standing"
        assert say("{low} to {high}", low=1, high=2) == "1 to 2"
        assert say_as("verdict", "level") == "na równi"
        assert say("level") == "level"


def test_english_is_back_after_another_language_even_when_that_fails() -> None:
    with pytest.raises(ZeroDivisionError), speaking(language_of("pl", POLISH)):
        _ = 1 / 0

    assert figures.count(2, "run", "runs") == f"2{figures.NO_BREAK_SPACE}runs"


def test_numbers_dates_and_lists_are_those_of_the_language() -> None:
    with speaking(language_of("de")):
        assert figures.number(-1234.5, 2) == f"{figures.MINUS}1234,50"
        assert figures.signed(0.25, 2) == "+0,25"
        assert figures.typed_number(0.125) == "0,125"
        assert figures.percent(0.995) == f"99,5{figures.NO_BREAK_SPACE}%"
        assert figures.money(1249.5, "EUR") == f"EUR{figures.NO_BREAK_SPACE}1.249,50"
        assert figures.day(date(2031, 3, 2)) == "2. März 2031"
        assert figures.listing(["A", "B", "C"]) == "A, B und C"
        assert figures.listing(["A", "B"], "or") == "A oder B"


@pytest.mark.parametrize("tag", ["", "xx", "german", "../de", "de/CH", "*"])
def test_what_is_no_language_is_none(tag: str) -> None:
    assert locale_of(tag) is None


@pytest.mark.parametrize("tag", ["de", "pt-BR", "zh-Hant", "sr-Latn", "en-US", "ar"])
def test_tags_of_languages_are_known(tag: str) -> None:
    assert locale_of(tag) is not None


def test_english_without_a_country_puts_the_day_first() -> None:
    assert ENGLISH.locale == locale_of("en")
    assert figures.day(date(2031, 3, 2)) == "2 March 2031"
