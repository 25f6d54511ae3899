"""The index of the search box: whose words it takes, and which it keeps to itself."""

from __future__ import annotations

import json
from dataclasses import replace

from trialpress.site.pages.search import search_page
from trialpress.site.search_index import search_index
from trialpress.site.source import SiteSource


def meant(source: SiteSource, synonyms: dict[str, str]) -> dict[str, list[str]]:
    settings = replace(source.view.settings, synonyms=synonyms)
    script = search_index(search_page(source, ()), settings, {"stick"})
    index = json.loads(script.removeprefix("window.trialpressIndex = ").removesuffix(";\n"))
    return dict(index["meant"])


def test_the_synonyms_of_the_bench_come_beside_ours_and_before_them(source: SiteSource) -> None:
    words = meant(source, {"broomy": "Stick", "cheap": "overall | prices"})

    assert words["broomy"] == ["Stick"]
    assert words["cheap"] == ["overall", "prices"]
    assert words["price"] == ["prices"]


def test_words_that_no_page_has_are_not_published_as_they_may_be_of_something_hidden(
    source: SiteSource,
) -> None:
    words = meant(source, {"newcomer": "Velloq Nova", "both": "Velloq Nova | Overall"})

    assert words["both"] == ["Overall"]
    assert "newcomer" not in words
