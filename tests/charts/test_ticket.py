"""Link pictures: the right size, small, with every word really there and inside the frame."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from pathlib import Path

import pytest
from PIL import Image, ImageChops

from trialpress.charts import Ticket, TicketFigure, draw_ticket, shipped_templates
from trialpress.charts.theme import COLOURS
from trialpress.charts.ticket import MARGIN
from trialpress.charts.typesetting import BASIC, font_of

FIGURE = TicketFigure(
    name="Hollin Twenty (as unboxed)",
    value="87.4",
    unit="%",
    interval="85.1 to 89.7",
    place_best=4,
    place_worst=9,
    ranked=39,
    places="could be anywhere from 4th to 9th of 39",
)
TICKET = Ticket("A bench", "Dust from carpet", "Three set-ups compared.", "Invented.", FIGURE)
PLAIN = replace(TICKET, figure=None)
BRACKET_BAND = (MARGIN, 530, 1140, 564)


def picture(ticket: Ticket) -> Image.Image:
    return Image.open(io.BytesIO(draw_ticket(ticket))).convert("RGB")


def changed(one: Ticket, other: Ticket) -> tuple[int, int, int, int] | None:
    """The box around everything that differs."""
    return ImageChops.difference(picture(one), picture(other)).getbbox()


@pytest.mark.parametrize("ticket", [TICKET, PLAIN])
def test_it_has_the_size_that_other_sites_ask_for_and_is_small(ticket: Ticket) -> None:
    # Open Graph pictures of 1200 by 630 pixels; a picture of text and lines needs no more
    assert picture(ticket).size == (1200, 630)
    assert len(draw_ticket(ticket)) < 40_000


@pytest.mark.parametrize(
    ("without", "rows"),
    [
        (replace(FIGURE, value=""), (290, 430)),
        (replace(FIGURE, unit=""), (340, 440)),
        (replace(FIGURE, interval=""), (360, 440)),
        (replace(FIGURE, places=""), (455, 510)),
    ],
)
def test_every_part_of_the_figure_is_drawn_in_its_row(
    without: TicketFigure, rows: tuple[int, int]
) -> None:
    box = changed(TICKET, replace(TICKET, figure=without))

    assert box is not None
    assert rows[0] <= box[1] < box[3] <= rows[1]


def test_the_number_is_the_largest_thing_on_it() -> None:
    number = changed(TICKET, replace(TICKET, figure=replace(FIGURE, value="")))
    name = changed(TICKET, replace(TICKET, figure=replace(FIGURE, name="")))

    assert number is not None
    assert name is not None
    # on a phone it is 360 pixels wide: three tenths of what was drawn
    assert 0.3 * (number[3] - number[1]) > 30
    assert number[3] - number[1] > 1.7 * (name[3] - name[1])


def test_the_bracket_reaches_over_the_places_that_are_not_ruled_out() -> None:
    accent = tuple(int(COLOURS.accent[i : i + 2], 16) for i in (1, 3, 5))
    band = picture(TICKET).crop(BRACKET_BAND)
    xs = [x for x in range(band.width) if any(
        max(abs(a - b) for a, b in zip(band.getpixel((x, y)), accent, strict=True)) < 40  # type: ignore[arg-type]
        for y in range(band.height)
    )]  # fmt: skip

    step = (1200 - 2 * MARGIN) / 39  # by hand: places 4 to 9 of 39 equal steps
    assert abs(min(xs) - 3 * step) < 6
    assert abs(max(xs) - 9 * step) < 6


@pytest.mark.parametrize("letters", ["Größe", "Ελληνικά", "Кириллица", "Łódź"])
def test_letters_beyond_the_basic_file_of_a_face_are_drawn(letters: str) -> None:
    boxes = {draw_ticket(replace(PLAIN, title=letter)) for letter in letters}

    assert len(boxes) == len(set(letters))  # a missing letter is the same box as any other


def test_the_basic_characters_are_those_that_the_style_sheet_takes_from_the_basic_file() -> None:
    css = (shipped_templates() / "static" / "faces.css").read_text(encoding="utf-8")
    (ranges,) = set(
        re.findall(r'url\("fonts/[\w]+-\w+(?<!more)\.woff2"\).*unicode-range: (U\+20-[^;]*);', css)
    )
    ends = [part.strip().removeprefix("U+").split("-") for part in ranges.split(",")]

    assert {
        chr(c) for a, *b in ends for c in range(int(a, 16), int((b or [a])[0], 16) + 1)
    } == BASIC


def test_long_words_are_cut_to_their_room_and_markup_stays_text() -> None:
    winding = "<b>Very</b> long & winding " * 20
    figure = replace(FIGURE, name=winding, interval=winding, places=winding)
    for ticket in (
        replace(PLAIN, title=winding, sentence=winding, foot=winding, bench=winding),
        replace(TICKET, title=winding, figure=figure),
    ):
        edge = picture(ticket).crop((1145, 0, 1200, 630))

        assert edge.getcolors() == [(55 * 630, edge.getpixel((0, 0)))]


def test_the_faces_are_the_sites_own(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("FONTCONFIG_PATH", str(tmp_path))
    before = draw_ticket(TICKET)
    font_of.cache_clear()

    assert draw_ticket(TICKET) == before
