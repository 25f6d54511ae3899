"""Prices, claims, what goes with results, and cuts: what their pages say of the small bench."""

from __future__ import annotations

from trialpress.site.pages.claims import claims_index_page, claims_pages
from trialpress.site.pages.factors import factors_index_page, factors_pages
from trialpress.site.pages.maker_pair import maker_pair_page
from trialpress.site.pages.prices import price_pages
from trialpress.site.pages.questions import questions_page
from trialpress.site.pages.standing import standing_page
from trialpress.site.source import SiteSource

NBSP = "\N{NO-BREAK SPACE}"


def test_a_set_up_without_a_price_is_shown_and_not_compared(source: SiteSource) -> None:
    (page,) = [page for page in price_pages(source) if page.frame.url == "prices/pickup.html"]

    one, two = page.rows
    assert (one.price, one.verdict and one.verdict.words) == (f"EUR{NBSP}199.90", "unbeaten")
    assert (two.price, two.verdict, two.why) == ("", None, "no price is known")
    assert page.summary.startswith(f"On Dust on a rug 1{NBSP}set-up as unboxed has a")


def test_every_claim_stands_as_stated_beside_its_figure_in_one_unit(source: SiteSource) -> None:
    pages = {page.frame.url: page for page in claims_pages(source)}
    stated = {
        url: [(row.stated, row.in_one_unit, page.unit) for row in page.rows]
        for url, page in pages.items()
    }

    claims = source.view.claims
    assert sum(len(rows) for rows in stated.values()) == len(claims)
    assert {f"claims/{claim.quantity}.html" for claim in claims} == set(stated)
    assert [row.quantity.url for row in claims_index_page(source).quantities] == list(pages)


def test_every_machine_with_a_value_is_visible_in_every_panel_of_words(source: SiteSource) -> None:
    (page,) = [one for one in factors_pages(source) if one.frame.url == "goes-with/pickup.html"]

    assert {row.name.url for row in page.machines} == {
        "machines/stick-one.html",
        "machines/robot-two.html",
    }
    kind = next(part for part in page.factors if part.anchor == "kind")
    assert [(group.level, group.machines) for group in kind.groups] == [
        ("robot", "1"),
        ("stick", "1"),
    ]
    assert all("fewer than 5 machines" in group.warning for group in kind.groups)
    row = next(row for row in factors_index_page(source).rows if "pickup" in row.series.url)
    assert (row.machines, row.goes_with) == ("2", "")


def test_a_standing_says_its_cut_and_leads_to_the_questions(source: SiteSource) -> None:
    page = standing_page(source, source.view.series["pickup", 2])

    assert page.top_cut[0].startswith(f"Top 2 of 2{NBSP}set-ups on Dust on a rug: ")
    assert len(page.top_cut) == 1  # all are inside: nobody could swap
    assert [link.url for link in page.questions] == [
        "prices/pickup.html",
        "goes-with/pickup.html",
    ]


def test_the_page_of_questions_leads_to_every_answer(source: SiteSource) -> None:
    links = {link.url for one in questions_page(source).questions for link in one.links}

    assert {"prices.html", "claims.html", "goes-with.html", "maker-pair.html"} <= links
    assert "standings/pickup.html#cut" in links


def test_without_charts_no_pair_of_makers_is_offered(source: SiteSource) -> None:
    page = maker_pair_page(source)

    assert (page.makers, page.pair_chart, page.rows) == ((), None, ())


def test_only_who_is_shown_to_be_unbeaten_is_named_so(source: SiteSource) -> None:
    for page in price_pages(source):
        for row in page.rows:
            is_shown = row.verdict is not None and row.verdict.shape == "in"
            assert (f"{row.name.full} (" in page.unbeaten) == is_shown
