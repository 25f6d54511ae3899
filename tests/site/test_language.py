"""What is kept by its code, and what is around a page, is in the language spoken."""

from __future__ import annotations

import re

from trialpress.site import urls
from trialpress.site.feeds import atom_feed, json_feed
from trialpress.site.frame import frame_of
from trialpress.site.source import SiteSource
from trialpress.store import read_sql
from trialpress.view import verdicts
from trialpress.view.terms import kind_name
from trialpress.view.typed import READING_NAMES, Reading
from trialpress.words import Language, speaking
from trialpress.words.catalogue import read_language

GERMAN = """
msgid ""
msgstr "Content-Type: text/plain; charset=utf-8"

msgid "robot"
msgstr "Roboter"

msgid "over-recovered"
msgstr "zu viel"

msgid "over-recovered: more came back than was spread"
msgstr "zu viel: mehr kam zurück als ausgestreut"

msgid "zone {zone}, {grader}"
msgstr "Feld {zone}, {grader}"

msgid "Machines"
msgstr "Geräte"
"""


def language_of(tag: str, texts: str = "") -> Language:
    language, faults = read_language(tag, texts.encode())
    assert not faults
    assert language is not None
    return language


def test_words_of_codes_are_looked_up_when_they_are_needed() -> None:
    assert (kind_name("robot"), kind_name("floor-washer")) == ("robot", "floor washer")
    with speaking(language_of("de", GERMAN)):
        assert (kind_name("robot"), kind_name("floor-washer")) == ("Roboter", "floor washer")
        assert verdicts.flag_words("over-recovered") == (
            "zu viel: mehr kam zurück als ausgestreut",
        )
        assert verdicts.flag_counts(["over-recovered"]) == ("zu viel: 1 of 1\N{NO-BREAK SPACE}run",)


def test_every_reading_of_the_query_has_words() -> None:
    asked = read_sql("trialpress.view", "queries/readings.sql")
    grade = Reading("hall-01", 1, "zone", "3", "ana", "2", "")

    codes = set(re.findall(r"\('\w+', \d, '(\w+)'\)", asked))
    assert codes == {*READING_NAMES, "zone"}  # a grade is named by its zone and grader
    assert grade.name == "zone 3, ana"
    with speaking(language_of("de", GERMAN)):
        assert grade.name == "Feld 3, ana"


def test_a_frame_says_its_language_and_which_way_it_is_written(source: SiteSource) -> None:
    settings = source.view.settings

    english = frame_of(settings, urls.MACHINES, "", "")
    with speaking(language_of("de", GERMAN)):
        german = frame_of(settings, urls.MACHINES, "", "")
    with speaking(language_of("ar")):
        arabic = frame_of(settings, urls.MACHINES, "", "")

    assert (english.language, english.direction) == ("en", "ltr")
    assert (german.language, german.direction) == ("de", "ltr")
    assert (arabic.language, arabic.direction) == ("ar", "rtl")
    assert [link.words for link in english.nav if link.is_here] == ["Machines"]
    assert [link.words for link in german.nav if link.is_here] == ["Geräte"]


def test_feeds_say_their_language(source: SiteSource) -> None:
    with speaking(language_of("de", GERMAN)):
        feeds = [write(source.view.settings, ()) for write in (atom_feed, json_feed)]

    assert 'xml:lang="de"' in feeds[0]
    assert '"language": "de"' in feeds[1]
