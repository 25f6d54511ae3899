"""``words``: the file for a translator, as somebody at a bench uses it."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from flow.benches import copy_of_small_bench
from trialpress.bench import Bench
from trialpress.desk.words import UnreadableTranslationError, write_words
from typed import trialpress

AS_OF = ("--as-of", "2031-07-01")


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    return copy_of_small_bench(tmp_path / "bench")


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The file of a translator who has not begun yet, as the command writes it."""
    bench = copy_of_small_bench(tmp_path_factory.mktemp("begun") / "bench")
    said = trialpress("words", "pt", folder=bench)
    assert said.returncode == 0, said.stderr
    assert said.stdout.startswith("data/words/pt.po: 0 of ")
    return (bench / "data" / "words" / "pt.po").read_text("utf-8")


@pytest.fixture
def to_translate(bench: Path, begun: str) -> Path:
    """A bench with that file."""
    (bench / "data" / "words").mkdir()
    (bench / "data" / "words" / "pt.po").write_text(begun, "utf-8")
    return bench


def say_language(bench: Path, tag: str) -> None:
    settings = bench / "data" / "bench.toml"
    text = settings.read_text("utf-8")
    settings.write_text(f'{text}\nlanguage = "{tag}"\n', "utf-8")


def translate(bench: Path, tag: str, text: str, translation: str) -> None:
    path = bench / "data" / "words" / f"{tag}.po"
    before = path.read_text("utf-8")
    after = before.replace(f'msgid "{text}"\nmsgstr ""', f'msgid "{text}"\nmsgstr "{translation}"')
    assert after != before
    path.write_text(after, "utf-8")


def test_a_site_is_in_another_language_after_three_steps(to_translate: Path) -> None:
    translate(to_translate, "pt", "Standing", "Ordem")
    say_language(to_translate, "pt")

    assert trialpress("build", "--only", "site", *AS_OF, folder=to_translate).returncode == 0

    page = (to_translate / "build/site/standings/pickup.html").read_text("utf-8")
    assert '<html lang="pt"' in page
    assert 'id="standing">Ordem</h2>' in page
    assert 'id="key">How to read this</h2>' in page  # not translated yet
    assert 'static/language.js"' in page
    assert 'decimal: ","' in (to_translate / "build/site/static/language.js").read_text("utf-8")


def test_what_is_translated_is_kept_and_counted(to_translate: Path) -> None:
    translate(to_translate, "pt", "Standing", "Ordem")

    counted = json.loads(trialpress("words", "pt", "--json", folder=to_translate).stdout)

    assert counted["translated"] == 1
    assert counted["changed"] == 0
    assert counted["texts"] > 1000
    assert 'msgstr "Ordem"' in (to_translate / "data/words/pt.po").read_text("utf-8")


@pytest.fixture(scope="module")
def reworded(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The site of the small bench in an English of its own; only to be read."""
    bench = copy_of_small_bench(tmp_path_factory.mktemp("reworded") / "bench")
    assert trialpress("words", "en", folder=bench).returncode == 0
    translate(bench, "en", "Standing", "Who stands where")
    translate(bench, "en", "{shown} of {all} shown", "{shown} out of {all}")
    translate(bench, "en", "How to read this", 'A \\"standing\\" & 5 %')
    assert trialpress("build", "--only", "site", *AS_OF, folder=bench).returncode == 0
    return bench / "build" / "site"


def test_english_can_be_reworded(reworded: Path) -> None:
    page = (reworded / "standings/pickup.html").read_text("utf-8")
    assert "Who stands where</h2>" in page
    assert 'static/language.js"' in page
    assert "out of" in (reworded / "static/language.js").read_text("utf-8")


def test_signs_that_html_or_python_would_take_for_their_own_are_shown_as_they_are(
    reworded: Path,
) -> None:
    page = (reworded / "standings/pickup.html").read_text("utf-8")
    assert "A &#34;standing&#34; &amp; 5 %</h2>" in page


def test_the_terminal_stays_english(to_translate: Path) -> None:
    translate(to_translate, "pt", "no interval", "sem intervalo")
    say_language(to_translate, "pt")

    said = trialpress("explain", "one-stock", "noise", *AS_OF, folder=to_translate)

    assert said.returncode == 0, said.stderr
    assert "sem intervalo" not in said.stdout
    assert "71.4" in said.stdout


@pytest.mark.parametrize("tag", ["klingonese", "../pt", ""])
def test_what_is_no_language_is_refused(tag: str, bench: Path) -> None:
    said = trialpress("words", tag, folder=bench)

    assert said.returncode == 2
    assert "is no language" in said.stderr
    assert not (bench / "data" / "words").exists()


def test_a_pipe_or_a_link_out_of_the_bench_is_left_alone(bench: Path) -> None:
    folder = Bench(bench)
    path = folder.translation("pt")
    path.parent.mkdir()
    os.mkfifo(path)
    with pytest.raises(UnreadableTranslationError):
        write_words(folder, "pt")

    path.unlink()
    path.symlink_to(bench.parent / "elsewhere.po")
    with pytest.raises(UnreadableTranslationError):
        write_words(folder, "pt")
    assert not (bench.parent / "elsewhere.po").exists()


def test_a_template_that_leads_nowhere_is_told_in_a_sentence(bench: Path) -> None:
    (bench / "site_templates").mkdir(exist_ok=True)
    (bench / "site_templates" / "gone.html").symlink_to(bench / "nowhere.html")

    said = trialpress("words", "pt", folder=bench)

    assert said.returncode == 1
    assert "gone.html cannot be read: No such file or directory. Mend it" in said.stderr
    assert not (bench / "data" / "words" / "pt.po").exists()


def test_a_file_that_cannot_be_read_is_left_as_it_is(bench: Path) -> None:
    path = bench / "data" / "words" / "pt.po"
    path.parent.mkdir()
    path.write_text("<<<<<<< ours\n", "utf-8")

    said = trialpress("words", "pt", folder=bench)

    assert said.returncode == 1
    assert "cannot be read as a gettext file" in said.stderr
    assert path.read_text("utf-8") == "<<<<<<< ours\n"
