"""The page on the making of the figures quotes what is on record, and misses no rule."""

from __future__ import annotations

import re
from pathlib import Path

from audit.separation_study import TABLE, study_csv
from trialpress.results.study import other_study_rows, study_rows
from trialpress.site import urls
from trialpress.site.pages.figures import figures_page
from trialpress.site.source import SiteSource
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
    "Smyth",
    "0.5",
    "95",
)


def page_text(source: SiteSource) -> str:
    return render(Templates(), figures_page(source)).decode()


def test_every_rule_is_there_with_its_source(source: SiteSource) -> None:
    text = page_text(source)

    assert [rule for rule in RULES if rule not in text] == []


def test_the_shipped_study_is_the_one_on_record() -> None:
    table = [line for line in STUDY.read_text("utf-8").splitlines() if line.startswith("|")]

    of_overall = next(i for i, line in enumerate(table) if "by ratio" in line)
    assert TABLE.read_text("utf-8") == study_csv("\n".join(table[:of_overall]))


def test_what_else_was_studied_is_on_record_and_on_the_page(source: SiteSource) -> None:
    record, page = STUDY.read_text("utf-8"), figures_page(source)
    looks = {row.what: row.false_separation for row in other_study_rows() if row.set_ups == 8}

    assert f"wrong in {page.stopped} %" in record.replace("\n", " ")
    assert f"at its end in {page.planned} %" in record.replace("\n", " ")
    assert looks["planned"] < looks["stopped"]
    for row in other_study_rows():
        if row.what.startswith("overall"):
            assert f"{row.false_separation:.1f} ± {row.error:.1f}" in record
    low, high = map(float, page.overall_errs.split(" to "))
    assert low <= high
    assert page.overall_errs in page_text(source)


def test_each_series_is_told_what_the_study_says_of_one_like_it(source: SiteSource) -> None:
    page = figures_page(source)
    rows = {(row.set_ups, row.case): row for row in study_rows()}

    assert page.study
    for line in page.study:
        (spread,) = (
            spread
            for spread in source.view.spreads
            if urls.standing_url(source.view.series[spread.protocol, spread.version])
            == line.series.url
        )
        assert spread.study_set_ups is not None
        assert spread.study_case is not None
        row = rows[spread.study_set_ups, spread.study_case]
        assert line.errs.startswith(f"{row.false_separation:.1f}\N{NO-BREAK SPACE}")
        assert line.promised == ("" if row.promised is None else f"{row.promised:g}")


def test_the_quoted_looks_are_those_on_record(source: SiteSource) -> None:
    text = re.sub(r"&nbsp;|\s+", " ", page_text(source))
    study = re.sub(r"\s+", " ", STUDY.read_text(encoding="utf-8"))
    found = re.search(r"apart is wrong in ([\d.]+) %.*?at its end in ([\d.]+) %", study)

    assert found
    assert f"is wrong in {found[1]} % of cases" in text
    assert f"at its end in {found[2]} %" in text


def test_every_jump_on_the_page_leads_somewhere(source: SiteSource) -> None:
    text = page_text(source)

    jumps = re.findall(r'href="#([\w-]+)"', text)
    assert len(jumps) > 10
    assert [jump for jump in jumps if f'id="{jump}"' not in text] == []
