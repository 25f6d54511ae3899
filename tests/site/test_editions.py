"""Pages of editions show what an edition's own file says, and link to what stands now."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from trialpress.bench import Bench
from trialpress.editions import read_editions
from trialpress.site.frozen import FrozenEdition
from trialpress.site.pages.data import data_page
from trialpress.site.pages.editions import (
    EditionPage,
    EditionsPage,
    FrozenPage,
    edition_pages,
    now_script,
)
from trialpress.site.pages.machine import machine_page
from trialpress.site.reporting import report_url
from trialpress.site.source import SiteSource
from trialpress.site.templates import of_kind


@pytest.fixture
def with_edition(source: SiteSource, small_edition: Path) -> SiteSource:
    """The small bench as it stands, with an edition made before its embargo ended."""
    editions = read_editions(Bench(small_edition.parents[2]), date(2031, 7, 1))
    return replace(source, editions=tuple(map(FrozenEdition, editions)))


def frozen(source: SiteSource, url: str) -> FrozenPage:
    (page,) = (one for one in of_kind(edition_pages(source), FrozenPage) if one.frame.url == url)
    return page


def test_an_edition_has_a_page_a_standing_and_a_machine_and_is_listed(
    with_edition: SiteSource,
) -> None:
    pages = tuple(edition_pages(with_edition))

    (series,) = of_kind(pages, EditionsPage)
    (edition,) = of_kind(pages, EditionPage)
    assert [(line.version, line.is_latest) for line in series.lines] == [("1.0.0", True)]
    assert edition.citation.endswith(
        "Edition 1.0.0, 1 May 2031. https://bench.example/editions/1.0.0/index.html"
    )
    links = [link.url for link in (*edition.standings, *edition.machines)]
    assert links == [page.frame.url for page in of_kind(pages, FrozenPage)]
    assert links[-1] == "editions/1.0.0/machines/stick-one.html"


def test_a_frozen_standing_shows_what_stood_and_not_what_stands(with_edition: SiteSource) -> None:
    """By hand: hall-01 and hall-02 of one-stock; two-stock came to light on 1 June 2031."""
    page = frozen(with_edition, "editions/1.0.0/standings/pickup.html")

    assert [line.key for line in page.lines] == ["pickup|2|one-stock"]
    assert page.lines[0].words == "Maker One Stick One"
    assert page.now.url == "standings/pickup.html"
    assert len(with_edition.lines["pickup", 2]) == 2


def test_what_stands_now_is_found_by_the_key_of_any_version_of_a_series(
    source: SiteSource,
) -> None:
    now = now_script(source.view).value
    assert isinstance(now, dict)

    lines = now["lines"]
    assert isinstance(lines, dict)
    assert lines["pickup|1|one-stock"] == lines["pickup|2|one-stock"]
    assert now["past"] == []


def test_the_data_page_offers_the_latest_edition_to_load_and_to_cite(
    with_edition: SiteSource,
) -> None:
    page = data_page(with_edition)

    assert "https://bench.example/dataset/latest/results/" in page.loads[0].code
    assert "Edition 1.0.0" in page.citation
    assert [recipe.tool for recipe in page.recipes] == ["pandas", "SQLite"]


@pytest.mark.parametrize(
    ("contact", "address"),
    [
        (
            "iv@bench.example",
            "mailto:iv@bench.example?subject=Error%20in%20hall-01&body=https",
        ),
        ("https://forge.example/new?title={about}", "https://forge.example/new?title=Error%20in"),
        ("https://forge.example/form", "https://forge.example/form?about=Error%20in%20hall-01"),
        ("Ask at the hall", None),
        ("javascript:alert(1)", None),
    ],
)
def test_a_report_goes_to_the_contact_with_the_run_filled_in(
    contact: str, address: str | None, source: SiteSource
) -> None:
    settings = replace(source.view.settings, contact=contact)

    url = report_url(settings, "hall-01", "https://bench.example/m.html")

    assert url == address if url is None else url.startswith(str(address))


def test_every_page_and_every_run_has_a_way_to_report_an_error(source: SiteSource) -> None:
    page = machine_page(source, source.view.machines[0])
    runs = [run for series in page.runs for run in series.runs]

    assert page.frame.report is not None
    assert runs
    assert all(run.run in str(run.report) for run in runs)


def test_series_of_editions_without_any_says_so(source: SiteSource) -> None:
    pages: Sequence[object] = tuple(edition_pages(source))

    (series,) = pages
    assert isinstance(series, EditionsPage)
    assert series.lines == ()
