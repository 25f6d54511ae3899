"""The catalogue of texts, and bringing a translation up to date with it."""

from __future__ import annotations

from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from trialpress.words.catalogue import bring_up_to_date, catalogue, read_language

CODE = """
from trialpress.words import figures, message, say, say_count

KINDS = {"robot": message("robot")}

def told(n, floor):
    # For translators: of a floor
    laid = say("laid on {floor}", floor=floor)
    many = say_count("{count} pass", "{count} passes", n)
    return laid, many, figures.count(n, "run", "runs"), not_said("nothing")
"""
TEMPLATE = """
<h1>{{ _("Standing") }}</h1>
<p>{% trans url=page.url %}Read
  <a href="{{ url }}">how</a>.{% endtrans %}</p>
"""
SCRIPT = "label.append(say('Order by'), sayCount('{count} page', '{count} pages', found));"


def sources(folder: Path, code: str = CODE) -> list[Path]:
    for name, text in (("a.py", code), ("b.html", TEMPLATE), ("c.js", SCRIPT)):
        (folder / name).write_text(text, "utf-8")
    return [folder]


def test_every_text_of_code_templates_and_scripts_is_in_it(tmp_path: Path) -> None:
    texts = catalogue(sources(tmp_path))

    assert [one.id for one in texts if one.id] == [
        "robot",
        "laid on {floor}",
        ("{count} pass", "{count} passes"),
        ("run", "runs"),
        "Standing",
        'Read <a href="%(url)s">how</a>.',
        "Order by",
        ("{count} page", "{count} pages"),
    ]
    assert texts["laid on {floor}"].auto_comments == ["For translators: of a floor"]


def test_translations_stay_when_texts_change_and_doubtful_ones_are_not_used(
    tmp_path: Path,
) -> None:
    path = tmp_path / "de.po"
    bring_up_to_date(path, catalogue(sources(tmp_path), "de"))
    filled = path.read_text("utf-8")
    for text, told in (("robot", "Roboter"), ("laid on {floor}", "verlegt auf {floor}")):
        filled = filled.replace(f'"{text}"\nmsgstr ""', f'"{text}"\nmsgstr "{told}"')
    path.write_text(filled, "utf-8")

    changed = CODE.replace("laid on {floor}", "was laid on {floor}")
    counted = bring_up_to_date(path, catalogue(sources(tmp_path, changed), "de"))
    language, faults = read_language("de", path.read_bytes())

    assert (counted.texts, counted.translated, counted.changed) == (8, 1, 1)
    assert not faults
    assert language is not None
    assert language.texts == {"robot": ("Roboter",)}


def test_the_same_texts_make_the_same_file(tmp_path: Path) -> None:
    path = tmp_path / "pt.po"
    bring_up_to_date(path, catalogue(sources(tmp_path), "pt"))
    first = path.read_bytes()
    bring_up_to_date(path, catalogue(sources(tmp_path), "pt"))

    assert path.read_bytes() == first


@given(st.binary(max_size=200) | st.text(max_size=200).map(str.encode))
def test_whatever_a_file_says_it_is_a_language_or_a_fault(data: bytes) -> None:
    language, faults = read_language("pl", data)

    assert (language is None) == bool(faults)
