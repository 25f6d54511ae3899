"""Every page of a site, and the one that somebody waits for before the others."""

from __future__ import annotations

from dataclasses import replace

import pytest

from trialpress.site.page_list import PageAhead, pages_of
from trialpress.site.source import Download, SiteSource
from trialpress.site.templates import Page

URLS = ("machines/stick-one.html", "watch.html", "prices.html", "claims/noise.html")


@pytest.mark.parametrize("url", URLS)
def test_a_page_ahead_is_made_before_the_dataset_is_asked_for_and_changes_no_order(
    url: str, source: SiteSource
) -> None:
    asked: list[str] = []

    def listing() -> list[Download]:
        asked.append("dataset")
        return [*source.listing()]

    fresh = replace(source, listing=listing)
    met: list[Page] = []

    def meet(page: Page) -> None:
        assert asked == []
        met.append(page)

    pages = pages_of(fresh, PageAhead(url, meet))

    assert [page.frame.url for page in met] == [url]
    assert asked == ["dataset"]
    assert [page.frame.url for page in pages] == [page.frame.url for page in pages_of(source)]


def test_where_nobody_waits_the_dataset_is_asked_for_before_a_machine_is_looked_at(
    source: SiteSource,
) -> None:
    looked_at: list[bool] = []

    def listing() -> list[Download]:
        looked_at.append("lines" in vars(fresh))
        return [*source.listing()]

    fresh = replace(source, listing=listing)
    pages_of(fresh)

    assert looked_at == [False]
