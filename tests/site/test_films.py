"""Films: from what they show to the second, and from the film to what is known now.

In:  the small bench: its film shows a run at 0:01:30, a set-up at 0:04:05, a protocol at 1:00:00.
"""

from __future__ import annotations

import pytest

from trialpress.site.films import moment_of_place, moments_of_run
from trialpress.site.pages.films import FilmPage, FilmsPage, film_pages
from trialpress.site.pages.machine import machine_page
from trialpress.site.pages.standing import standing_page
from trialpress.site.source import SiteSource
from trialpress.site.templates import of_kind
from trialpress.view.typed import Film


@pytest.fixture
def film(source: SiteSource) -> FilmPage:
    (page,) = of_kind(list(film_pages(source)), FilmPage)
    return page


@pytest.mark.parametrize(
    ("address", "at"),
    [
        ("https://films.example/sticks", "https://films.example/sticks#t=90"),
        # Media Fragments URI 1.0, 4.1: name-value pairs are joined by &
        ("https://films.example/sticks#track=2", "https://films.example/sticks#track=2&t=90"),
        ("https://films.example/sticks?from={seconds}s", "https://films.example/sticks?from=90s"),
    ],
)
def test_a_second_goes_where_the_address_has_a_place_for_it_or_becomes_a_fragment(
    address: str, at: str
) -> None:
    assert Film("sticks", "Sticks", address, None).second(90) == at


def test_a_run_and_its_machine_lead_to_the_second_that_shows_them(source: SiteSource) -> None:
    (of_run,) = moments_of_run(source.view, "hall-02")
    machine = source.view.setup[source.view.run["hall-02"].setup].machine
    of_machine = machine_page(source, source.view.machine[machine]).films

    assert (of_run.at, of_run.watch) == ("1:30", "https://films.example/sticks#t=90")
    assert of_run.line == "films/sticks.html#at-90"
    assert of_run in of_machine


def test_a_standing_leads_to_how_it_is_run_and_a_place_to_the_run_that_is_shown(
    source: SiteSource,
) -> None:
    view = source.view
    hair = standing_page(source, next(one for one in view.current_series if one.protocol == "hair"))
    run = view.run["hall-02"]

    assert [one.at for one in hair.films] == ["1:00:00"]
    of_place = moment_of_place(view, run.setup, run.protocol)
    assert of_place is not None
    assert of_place.at == "1:30"
    assert moment_of_place(view, run.setup, "hair") is None  # the film shows another protocol of it


def test_a_set_up_is_seen_where_the_film_is_on_the_protocol(source: SiteSource) -> None:
    of_place = moment_of_place(source.view, "two-stock", "hair")

    assert of_place is not None
    assert of_place.at == "4:05"
    assert moment_of_place(source.view, "two-stock", "pickup") is None


def test_the_page_of_a_film_says_what_it_shows_and_where_that_stands_now(film: FilmPage) -> None:
    intro, run, setup, protocol = film.marks

    assert [mark.at for mark in film.marks] == ["0:00", "1:30", "4:05", "1:00:00"]
    assert intro.results == ()
    assert run.results[0].url.endswith("#run-hall-02")
    # 17.8 g of 19.9 g, corrected as in test_pages: 89.45 %, published without decimals
    assert run.now.startswith("This run now: 89\N{NO-BREAK SPACE}%. The mean of its 3")
    assert [link.url for link in setup.results] == ["machines/robot-two.html"]
    assert [link.url for link in protocol.results] == ["standings/hair.html"]
    assert film.corrected == ()
    assert film.is_dated


def test_the_list_of_films_leads_to_each(source: SiteSource) -> None:
    (page,) = of_kind(list(film_pages(source)), FilmsPage)

    assert [line.page.url for line in page.lines] == ["films/sticks.html"]
    assert page.lines[0].shown == "3\N{NO-BREAK SPACE}results shown"
