"""The German that comes with the package, and a bench's own words over it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from charts.hand_filled import SETTINGS
from trialpress.bench import Bench
from trialpress.desk.words import write_words
from trialpress.intake.texts import read_translation
from trialpress.words import figures, say, speaking

OWN = r"""
msgid ""
msgstr ""
"Content-Type: text/plain; charset=utf-8\n"

msgid "Standing"
msgstr "Reihung"
"""


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
