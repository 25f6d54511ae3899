"""The German that comes with the package, and a bench's own words over it."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from babel.messages.catalog import Message
from babel.messages.pofile import read_po

from charts.hand_filled import SETTINGS
from trialpress import words
from trialpress.bench import Bench
from trialpress.desk.words import write_words
from trialpress.intake.texts import read_translation
from trialpress.site.wording import column_words
from trialpress.words import figures, say, speaking
from trialpress.words.catalogue import read_language

SHIPPED = Path(words.__file__).parent / "de.po"
PLACES = re.compile(r"\{\w*\}|%\(\w+\)s|<[^>]*>")
SAME_IN_GERMAN = {
    "Clip",
    "Code",
    "Dimension",
    "Dispersion",
    "Drift",
    "Film",
    "Film: {title}",
    "Firmware",
    "Material",
    "Median",
    "Median, %(unit)s",
    "Name",
    "Position",
    "Problem",
    "Sigma",
    "Status",
    "Version",
    "Version {version}",
    "Website",
    "Zone",
    "in %(run)s",
    "p, Holm",
    "rho",
}
OWN = r"""
msgid ""
msgstr ""
"Content-Type: text/plain; charset=utf-8\n"

msgid "Standing"
msgstr "Reihung"
"""


def forms(message: Message) -> tuple[str, ...]:
    told = message.string or ""
    return (told,) if isinstance(told, str) else tuple(told)


def by_text(file: Path) -> dict[tuple[str, str], Message]:
    """The texts of a file, each with what it means where it means several things."""
    with file.open("rb") as opened:
        texts = [one for one in read_po(opened) if one.id]
    return {
        (one.id if isinstance(one.id, str) else one.id[0], one.context or ""): one for one in texts
    }


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    (tmp_path / "data" / "words").mkdir(parents=True)
    return Bench(tmp_path)


def test_a_bench_in_german_needs_no_file_of_its_own(bench: Bench) -> None:
    read = read_translation(bench, replace(SETTINGS, language="de"))

    assert not read.findings
    with speaking(read.language):
        assert say("Standing") == "Rangliste"
        assert figures.count(2, "run", "runs") == "2\N{NO-BREAK SPACE}Durchgänge"


def test_nouns_keep_their_capital_inside_a_german_sentence(bench: Bench) -> None:
    german = read_translation(bench, replace(SETTINGS, language="de")).language

    assert column_words("weighings", "dose_g") == "dose (g)"
    with speaking(german):
        assert column_words("weighings", "dose_g") == "Dosis (g)"


def test_the_words_of_a_bench_take_the_place_of_those_that_are_shipped(bench: Bench) -> None:
    bench.translation("de-AT").write_text(OWN, "utf-8")

    read = read_translation(bench, replace(SETTINGS, language="de-AT"))

    assert not read.findings
    assert read.language.tag == "de-AT"
    with speaking(read.language):
        assert (say("Standing"), say("Median")) == ("Reihung", "Median")
        assert say("Mean") == "Mittelwert"
    assert read.language.texts["Standing"] == ("Reihung",)


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Bench:
    bench = Bench(tmp_path_factory.mktemp("reworded"))
    write_words(bench, "de")
    return bench


def test_who_rewords_german_is_shown_how_it_is_worded(written: Bench) -> None:
    file = written.translation("de").read_text("utf-8")

    assert "#. Shipped as: Rangliste\n" in file
    assert "Shipped as: Durchgang | Durchgänge\n" in file
    assert 'msgstr "Rangliste"' not in file


def test_every_text_has_its_german(written: Bench) -> None:
    """The rules that ``check`` has for a bench's own translation, and all texts filled in."""
    texts = by_text(written.translation("de"))
    german = by_text(SHIPPED)
    _, faults = read_language("de", SHIPPED.read_bytes())
    open_ = sorted(
        text
        for text in texts
        if text not in german or german[text].fuzzy or not all(forms(german[text]))
    )
    gone = sorted(german.keys() - texts.keys())

    assert (open_, gone, faults) == ([], [], ()), (
        "Texts have changed. Run `make words`, then fill in what is empty in words/de.po, look at "
        "what is marked fuzzy and take the mark away, and delete what is no longer said (#~)."
    )
    assert b"#~" not in SHIPPED.read_bytes()


def test_hardly_a_text_is_the_same_in_german() -> None:
    same = {
        text
        for (text, _), message in by_text(SHIPPED).items()
        if text in forms(message) and re.search("[a-z]{2}", PLACES.sub("", text))
    }

    assert same == SAME_IN_GERMAN


def test_quotes_are_german() -> None:
    said = [form for message in by_text(SHIPPED).values() for form in forms(message)]

    assert not [text for text in said if "”" in text or text.count("„") != text.count("“")]
