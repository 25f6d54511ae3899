"""Preview pictures: the right size, small, and with words and marks in them."""

from __future__ import annotations

import io
from dataclasses import replace

from PIL import Image, ImageChops

from charts.hand_filled import Entry, view_of
from trialpress.charts import PreviewWords, draw_charts, draw_preview

WORDS = PreviewWords("A bench", "Dust from carpet", "Three set-ups compared.", "Invented.")
TITLE_BAND = (60, 110, 1140, 185)
CHART_BAND = (60, 282, 1140, 586)


def picture(png: bytes) -> Image.Image:
    return Image.open(io.BytesIO(png)).convert("RGB")


def is_same(one: Image.Image, other: Image.Image) -> bool:
    return ImageChops.difference(one, other).getbbox() is None


def test_a_preview_has_the_size_that_other_sites_ask_for_and_is_small() -> None:
    # Open Graph pictures of 1200 by 630 pixels; a picture of text and lines needs no more
    png = draw_preview(WORDS, None)

    assert picture(png).size == (1200, 630)
    assert len(png) < 60_000


def test_other_words_give_another_picture_where_the_words_stand() -> None:
    """A face that the drawing program does not know gives pictures without any text."""
    one = picture(draw_preview(WORDS, None)).crop(TITLE_BAND)
    other = picture(draw_preview(replace(WORDS, title="Hair on a mat"), None)).crop(TITLE_BAND)

    assert not is_same(one, other)
    assert len(one.getcolors(maxcolors=256) or []) > 2  # ink, paper and soft edges between them


def test_the_beginning_of_the_chart_is_in_the_picture() -> None:
    ladder = draw_charts(view_of((Entry("one-stock", 94.0, 92.5, 95.5, (1, 1)),)))
    svg = ladder.standings["carpet", 1].svg
    with_chart, without = (picture(draw_preview(WORDS, one)) for one in (svg, None))

    assert not is_same(with_chart.crop(CHART_BAND), without.crop(CHART_BAND))


def test_long_words_are_cut_to_their_room_and_markup_stays_text() -> None:
    long = replace(WORDS, title="<b>Very</b> long & winding " * 20, sentence="and more " * 90)

    edge = picture(draw_preview(long, None)).crop((1145, 0, 1200, 630))

    assert edge.getcolors() == [(55 * 630, edge.getpixel((0, 0)))]


def test_the_same_words_give_the_same_bytes() -> None:
    assert draw_preview(WORDS, None) == draw_preview(WORDS, None)
