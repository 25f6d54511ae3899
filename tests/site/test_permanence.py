"""Pages that were published stay at their address or lead on from it."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Protocol

import pytest

from trialpress.bench import Bench
from trialpress.desk.publish.record import record_published
from trialpress.desk.publish.site import pages_among
from trialpress.intake import FaultyBenchError
from trialpress.intake.published import PAGE_ADDRESS
from trialpress.site.permanence import (
    VanishedPagesError,
    WrongMoveError,
    read_published,
)


class WriteSite(Protocol):
    def __call__(self, as_of: date = ...) -> Path: ...


def record(bench: Bench, *rows: str, header: str = "url,since,moved_to") -> None:
    text = "\n".join((header, *rows, ""))
    (bench.data / "published.csv").write_text(text, encoding="utf-8")


def test_a_published_page_that_is_still_written_is_left_alone(
    bench: Bench, write: WriteSite
) -> None:
    record(bench, "about.html,2031-03-05,", "machines/stick-one.html,2031-03-05,")

    assert "moved" not in (write() / "about.html").read_text(encoding="utf-8")


def test_a_renamed_page_leads_on_over_several_moves(bench: Bench, write: WriteSite) -> None:
    record(
        bench,
        "machines/stick-1.html,2031-03-05,machines/stick-i.html",
        "machines/stick-i.html,2031-03-06,machines/stick-one.html",
    )

    folder = write()

    for old in ("stick-1", "stick-i"):
        stub = (folder / "machines" / f"{old}.html").read_text(encoding="utf-8")
        assert '<meta http-equiv="refresh" content="0; url=../machines/stick-one.html">' in stub
        assert '<a href="../machines/stick-one.html">Maker One Stick One</a>' in stub
        assert 'rel="canonical" href="https://bench.example/machines/stick-one.html"' in stub
    assert "stick-i.html" not in (folder / "sitemap.xml").read_text(encoding="utf-8")


def test_a_page_that_would_vanish_stops_the_build_and_is_named(
    bench: Bench, write: WriteSite
) -> None:
    record(bench, "machines/gone.html,2031-03-05,", "about.html,2031-03-05,")

    with pytest.raises(VanishedPagesError) as caught:
        write()

    # the sentence of an error names the file, the page and what to do
    assert str(caught.value) == (
        "data/published.csv has pages that this build would not write any more:\n"
        "  machines/gone.html\n"
        "Links to them would lead nowhere. Bring back what they showed, or fill in moved_to: the "
        "page of this site that takes its place, or the word withdrawn."
    )


def test_every_page_that_publish_records_is_found_by_the_next_build(
    bench: Bench, write: WriteSite
) -> None:
    site = write()
    pages = pages_among(file.relative_to(site).as_posix() for file in site.rglob("*.html"))
    record_published(bench, pages, (), date(2031, 3, 5))

    assert "machines/stick-one.html" in read_published(bench, date(2031, 3, 5))
    assert [page for page in pages if not PAGE_ADDRESS.fullmatch(page)] == []
    assert write().is_dir()


def test_a_page_that_was_withdrawn_on_purpose_stops_nothing(bench: Bench, write: WriteSite) -> None:
    record(bench, "machines/gone.html,2031-03-05,", "machines/gone.html,2031-03-06,withdrawn")

    assert not (write() / "machines" / "gone.html").exists()


def test_a_page_counts_from_the_day_on_that_it_was_published(
    bench: Bench, write: WriteSite
) -> None:
    record(bench, "machines/gone.html,2031-06-15,")

    assert write(date(2031, 6, 14)).is_dir()
    with pytest.raises(VanishedPagesError):
        write(date(2031, 6, 15))


def test_the_last_row_of_an_address_holds(bench: Bench, write: WriteSite) -> None:
    record(
        bench,
        "machines/gone.html,2031-03-05,",
        "machines/gone.html,2031-03-09,machines/index.html",
    )

    assert (write() / "machines" / "gone.html").is_file()


def test_a_move_to_a_page_that_is_not_there_is_a_fault(bench: Bench, write: WriteSite) -> None:
    record(bench, "machines/gone.html,2031-03-05,machines/nowhere.html")

    with pytest.raises(WrongMoveError, match=r"moved_to says machines/nowhere\.html"):
        write()


def test_two_pages_that_lead_to_each_other_lead_nowhere(bench: Bench, write: WriteSite) -> None:
    record(bench, "a.html,2031-03-05,b.html", "b.html,2031-03-05,a.html")

    with pytest.raises(WrongMoveError):
        write()


def test_a_record_with_other_columns_is_a_fault(bench: Bench, write: WriteSite) -> None:
    record(bench, "about.html,2031-03-05", header="address,since")

    with pytest.raises(FaultyBenchError, match="url,since,moved_to"):
        write()
