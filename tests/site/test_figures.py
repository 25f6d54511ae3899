"""The page on the making of the figures quotes what is on record, and misses no rule."""

from __future__ import annotations

import re
from pathlib import Path

from trialpress.site.material import Material
from trialpress.site.pages.figures import figures_page
from trialpress.site.templates import Templates, render

STUDY = Path(__file__).parents[1] / "audit" / "SEPARATION.md"
RULES = (
    "ISO 5725-2",
    "JCGM 100:2008",
    "Henderson",
    "Wilson",
    "McCullagh",
    "Newcombe",
    "Tukey–Kramer",  # noqa: RUF001 -- the dash that the page prints
    "10.1093/restud/rdad006",
    "NIST/SEMATECH",
    "0.96",
    "95",
)


def page_text(material: Material) -> str:
    return render(Templates(), figures_page(material)).decode()


def study_row(set_ups: int, name: str) -> list[str]:
    """False separations by these rules and the plain method, power, how often intervals cover."""
    for line in STUDY.read_text(encoding="utf-8").splitlines():
        cells = [cell.strip() for cell in line.strip("|").split("|")]
        if cells[:2] == [str(set_ups), name]:
            return [cells[2].partition(" ")[0], *cells[3:]]
    raise AssertionError(name)


def test_every_rule_is_there_with_its_source(material: Material) -> None:
    text = page_text(material)

    assert [rule for rule in RULES if rule not in text] == []


def test_the_quoted_study_is_the_one_on_record(material: Material) -> None:
    text = re.sub(r"&nbsp;|\s+", " ", page_text(material))
    equal = study_row(8, "3 runs each")

    assert (
        f"a false one in {equal[0]} % of benches; the plain pooled method in {equal[1]} %" in text
    )
    assert f"which the plain method finds in 80 % of benches is found in {equal[2]} %" in text
    assert f"holds its mean in {study_row(8, 'threefold range of noise')[4]} % of benches" in text
    for scenario in (
        "threefold range of noise",
        "one four times noisier",
        "each on its own day, day spread 1",
        "3 runs on each of 3 shared days, sitting spread 1",
    ):
        ours, plain, *_ = study_row(8, scenario)
        assert f"{ours} % against {plain} %" in text


def test_the_quoted_looks_are_those_on_record(material: Material) -> None:
    text = re.sub(r"&nbsp;|\s+", " ", page_text(material))
    study = re.sub(r"\s+", " ", STUDY.read_text(encoding="utf-8"))
    found = re.search(r"apart is wrong in ([\d.]+) %.*?at its end in ([\d.]+) %", study)

    assert found
    assert f"is wrong in {found[1]} % of cases" in text
    assert f"at its end in {found[2]} %" in text


def test_every_jump_on_the_page_leads_somewhere(material: Material) -> None:
    text = page_text(material)

    jumps = re.findall(r'href="#([\w-]+)"', text)
    assert len(jumps) > 10
    assert [jump for jump in jumps if f'id="{jump}"' not in text] == []
