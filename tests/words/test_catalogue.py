"""The catalogue of texts, and bringing a translation up to date with it."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trialpress.words import locale_of
from trialpress.words.catalogue import brought_up_to_date, catalogue, read_language

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


def test_what_was_saved_since_is_looked_for_anew(tmp_path: Path) -> None:
    folders = sources(tmp_path)
    assert catalogue(folders).get("Place") is None

    (tmp_path / "b.html").write_text(TEMPLATE.replace("Standing", "Place"), "utf-8")
    (tmp_path / "gone.css").symlink_to(tmp_path / "nowhere.css")

    assert catalogue(folders).get("Place")
    assert catalogue(folders).get("Standing") is None


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
    filled = brought_up_to_date(None, catalogue(sources(tmp_path), "de"))[0].decode()
    for text, told in (("robot", "Roboter"), ("laid on {floor}", "verlegt auf {floor}")):
        filled = filled.replace(f'"{text}"\nmsgstr ""', f'"{text}"\nmsgstr "{told}"')

    changed = CODE.replace("laid on {floor}", "was laid on {floor}")
    texts = catalogue(sources(tmp_path, changed), "de")
    data, counted = brought_up_to_date(filled.encode(), texts)
    language, faults = read_language("de", data)

    assert (counted.texts, counted.translated, counted.changed) == (8, 1, 1)
    assert not faults
    assert language is not None
    assert language.texts == {"robot": ("Roboter",)}


def test_the_same_texts_make_the_same_file(tmp_path: Path) -> None:
    first, _ = brought_up_to_date(None, catalogue(sources(tmp_path), "pt"))
    again, _ = brought_up_to_date(first, catalogue(sources(tmp_path), "pt"))

    assert again == first


NAMED = 'msgid "{name}: laid on {floor}"\nmsgstr "%s"\n'
COUNTED = 'msgid "{count} run"\nmsgid_plural "{count} runs"\nmsgstr[0] "a"\nmsgstr[1] "b"\n'


def po_file(text: str, plural: str = "n != 1") -> bytes:
    kind = '"Content-Type: text/plain; charset=utf-8\\n"'
    rule = f'"Plural-Forms: nplurals=2; plural={plural};\\n"'
    return f'msgid ""\nmsgstr ""\n{kind}\n{rule}\n\n{text}'.encode()


@pytest.mark.parametrize(
    "form",
    [
        "{name:>99999999999}",
        "{name:d}",
        "{name!r}",
        "{name!x}",
        "{name.__class__}",
        "{name[0]}",
        "{}",
    ],
)
def test_a_translation_fills_in_what_the_text_does_and_in_no_other_way(form: str) -> None:
    language, faults = read_language("de", po_file(NAMED % f"{form}, {{floor}}"))

    assert (language, [fault.rule for fault in faults]) == (None, ["names"])
    assert read_language("de", po_file(NAMED % "{floor}: {name}"))[1] == ()


@pytest.mark.parametrize(
    "plural",
    ["n%0", "n/0", "n%(n-5)", '\\"(n!=1);alert(1)\\"', '\\"(n!=1) plural=alert(1)\\"', "f(n)"],
)
def test_a_rule_of_plural_forms_is_arithmetic_that_never_fails(plural: str) -> None:
    assert [fault.rule for fault in read_language("de", po_file(COUNTED, plural))[1]] == ["syntax"]


def test_rules_of_many_forms_are_read() -> None:
    polish = "n==1 ? 0 : n%10>=2 && n%10<=4 && (n%100<12 || n%100>14) ? 1 : 2"
    language, faults = read_language("de", po_file("", polish))

    assert (language is not None, faults) == (True, ())


def test_a_text_longer_than_any_of_the_pages_is_refused_unread() -> None:
    longest = 'msgid "a"\nmsgstr "%s"\n' % ("<a " * 100_000)

    assert [fault.rule for fault in read_language("de", po_file(longest))[1]] == ["length"]


@pytest.mark.parametrize("tag", ["de.x/../../y", "de@../y", "../de", "de/x", "root", "de-", ""])
def test_a_tag_that_could_lead_elsewhere_is_no_language(tag: str) -> None:
    assert locale_of(tag) is None


@given(st.binary(max_size=200) | st.text(max_size=200).map(str.encode))
def test_whatever_a_file_says_it_is_a_language_or_a_fault(data: bytes) -> None:
    language, faults = read_language("pl", data)

    assert (language is None) == bool(faults)
