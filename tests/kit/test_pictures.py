"""Pictures of a kit: read back by Pillow, they are what was asked for."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from datetime import date
from pathlib import Path
from xml.etree import ElementTree as ET

import numpy as np
import pytest
from PIL import Image, ImageChops

from kit.conftest import Made
from trialpress.charts import read_theme
from trialpress.charts.typesetting import Face
from trialpress.kit.making import Source, stills_of
from trialpress.kit.png import Canvas
from trialpress.kit.scene import SMALLEST_PX, Align, Box, Dot, Role, Scene, TextLine
from trialpress.kit.stills.frame import TALL, WIDE, Headline, framed
from trialpress.kit.stills.still import Still
from trialpress.kit.svg import draw_svg

LIGHT = read_theme().light
SIZES = {"": (1920, 1080), "-tall": (1080, 1920), "-4k": (3840, 2160)}
NAME = re.compile(r"(?P<still>.+)-(?P<theme>light|dark)(?P<form>-tall|-4k)?(?P<bare>-transparent)?")


def picture(scene: Scene, *, is_opaque: bool = True) -> Image.Image:
    return Image.open(io.BytesIO(Canvas(scene).png(LIGHT, is_opaque=is_opaque)))


def scene(*marks: Box | Dot | TextLine) -> Scene:
    return Scene(200, 100, marks)


def luminance(colour: tuple[int, ...]) -> float:
    """Relative luminance of sRGB (WCAG 2.2)."""
    linear = [
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4
        for part in (channel / 255 for channel in colour[:3])
    ]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: tuple[int, ...], other: tuple[int, ...]) -> float:
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_every_png_has_the_size_of_its_name_and_is_on_paper_or_on_nothing(made: Made) -> None:
    files = sorted((made.folder / "stills").glob("*.png"))

    assert len(files) > 20
    for file in files:
        parts = NAME.fullmatch(file.stem)
        assert parts is not None
        with Image.open(file) as opened:
            assert opened.size == SIZES[parts["form"] or ""]
            corner = opened.convert("RGBA").getpixel((0, 0))
        assert isinstance(corner, tuple)
        assert corner[3] == (0 if parts["bare"] else 255)
        assert file.stat().st_size < 150_000


def test_words_stand_out_from_paper_in_both_palettes(made: Made) -> None:
    for theme in ("light", "dark"):
        with Image.open(made.folder / "stills" / f"standing-pickup-{theme}.png") as opened:
            rgb = opened.convert("RGB")
        paper = rgb.getpixel((0, 0))
        assert isinstance(paper, tuple)
        colours = [colour for _, colour in rgb.getcolors(4096) or [] if isinstance(colour, tuple)]
        assert max(contrast(paper, colour) for colour in colours) > 7  # WCAG 2.2, 1.4.6


def test_on_paper_and_on_nothing_are_the_same_drawing() -> None:
    drawn = scene(
        Box(10, 10, 80, 5, Role.WASH),
        Dot(40, 50, 9, Role.ACCENT),
        TextLine(100, 60, "Ag 4", 30, Face.BOLD),
    )
    bare = picture(drawn, is_opaque=False).convert("RGBA")
    paper = Image.new("RGBA", bare.size, LIGHT.paper)

    on_paper = Image.alpha_composite(paper, bare).convert("RGB")

    assert ImageChops.difference(on_paper, picture(drawn).convert("RGB")).getbbox() is None


def test_no_edge_on_nothing_has_a_halo_of_another_colour() -> None:
    bare = picture(scene(TextLine(10, 60, "Hollin 20", 40)), is_opaque=False).convert("RGBA")

    colours = [colour for _, colour in bare.getcolors(4096) or [] if isinstance(colour, tuple)]
    seen = {colour[:3] for colour in colours if colour[3]}

    assert seen == {tuple(bytes.fromhex(LIGHT.ink[1:]))}


LETTERS = ("Aé", "Łódź", "Ω λ", "Жёлтый", "5\N{EN DASH}9 · “x” \N{MINUS SIGN}4")


@pytest.mark.parametrize("text", LETTERS)
def test_every_letter_is_really_drawn(text: str) -> None:
    nothing = picture(scene())
    for letter in text.replace(" ", ""):
        drawn = picture(scene(TextLine(60, 60, letter, 40)))
        assert ImageChops.difference(drawn.convert("RGB"), nothing.convert("RGB")).getbbox()


def test_words_end_where_they_are_measured_to_end() -> None:
    words = TextLine(150, 60, "81.4", 40, Face.NUMERALS, align=Align.RIGHT)

    box = ImageChops.difference(
        picture(scene(words)).convert("RGB"), picture(scene()).convert("RGB")
    ).getbbox()

    assert box is not None
    assert words.left <= box[0] < box[2] <= 151


def test_drawn_twice_it_is_the_same_to_the_byte_and_double_the_size_at_two_times() -> None:
    drawn = scene(TextLine(20, 60, "Dust", 40), Dot(150, 50, 8, Role.INK, is_open=True))

    once, again = (Canvas(drawn).png(LIGHT, is_opaque=True) for _ in range(2))
    large = Image.open(io.BytesIO(Canvas(drawn, 2).png(LIGHT, is_opaque=True)))

    assert once == again
    assert large.size == (400, 200)


def test_edges_are_blended_as_pillow_blends_them() -> None:
    ground, letter = Box(0, 0, 200, 100, Role.WASH), TextLine(20, 80, "W", 80, Face.BOLD)
    alone = picture(scene(letter), is_opaque=False).convert("RGBA")

    together = picture(scene(ground, letter), is_opaque=False).convert("RGBA")

    theirs = Image.alpha_composite(Image.new("RGBA", (200, 100), LIGHT.wash), alone)
    mine, pillows = (np.asarray(one, np.int16) for one in (together, theirs))
    assert np.abs(mine - pillows).max() <= 1  # both round


def test_more_colours_than_a_palette_holds_still_make_a_picture() -> None:
    dots = tuple(Dot(10 + 3 * n, 50, 8, role) for n, role in enumerate(list(Role) * 6))

    assert picture(scene(*dots)).size == (200, 100)


def test_the_svg_has_the_same_words_at_the_same_places(source: Source) -> None:
    still = next(iter(stills_of(source)))

    root = ET.fromstring(draw_svg(still.wide, LIGHT, still.title, still.alt))  # noqa: S314 -- own

    texts = [element for element in root.iter() if element.tag.endswith("}text")]
    assert [one.text for one in texts] == [words.text for words in still.wide.words]
    assert [one.get("x") for one in texts] == [str(words.x) for words in still.wide.words]
    assert (root.findtext("{*}title"), root.findtext("{*}desc")) == (still.title, still.alt)


@pytest.fixture(scope="module")
def stills(source: Source) -> tuple[Still, ...]:
    return tuple(stills_of(source))


def scenes(still: Still) -> list[Scene]:
    return [one for one in (still.wide, still.tall) if one is not None]


def test_all_words_lie_inside_the_frame_and_can_be_read_on_a_telephone(
    stills: tuple[Still, ...],
) -> None:
    for still in stills:
        for drawn in scenes(still):
            for words in drawn.words:
                margin = drawn.width * 0.03
                assert words.left >= margin, (still.name, words)
                assert words.left + words.width <= drawn.width - margin, (still.name, words)
                assert words.size < words.y < drawn.height - 30
                assert words.size >= SMALLEST_PX


def test_a_long_name_breaks_into_two_lines_and_leaves_the_number_alone(source: Source) -> None:
    long = "Ottilienburger Saugwerke Herdfeger 3000 Kombination (Bürste abgenommen, Stufe Eco)"
    headline = Headline("Dust", long, "59.7", "%", "57.5 to 62.0", "1st")
    for room in (WIDE, TALL):
        drawn = framed(room, source.around("x.html"), headline, iter(()))
        names = [words for words in drawn.words if words.face is Face.BOLD and words.size > 40]
        assert len(names) == 2
        for words in drawn.words:
            assert words.left + words.width <= room.right + 1


def test_a_comma_of_the_figure_does_not_hang_into_its_interval(source: Source) -> None:
    for room in (WIDE, TALL):
        lines: dict[str, TextLine] = {}
        for value, interval in (("59.7", "57.5 to 62.0"), ("59,7", "57,5 bis 62,0")):
            headline = Headline("Dust", "Ottilie", value, "%", interval, "1st")
            drawn = framed(room, source.around("x.html"), headline, iter(()))
            lines |= {words.text: words for words in drawn.words}
        figure, below = lines["59,7"], lines["57,5 bis 62,0"]

        assert figure.y < lines["59.7"].y
        assert below.y == lines["57.5 to 62.0"].y
        assert figure.y + figure.size * 0.16 < below.y - below.size * 0.7  # depth, height of digits


def test_a_still_revealed_line_by_line_ends_as_the_whole_one_and_nothing_moves(
    stills: tuple[Still, ...],
) -> None:
    still = stills[0]

    for earlier, later in zip(still.steps, still.steps[1:], strict=False):
        assert set(earlier.marks) <= set(later.marks)
    assert set(still.steps[-1].marks) == set(still.wide.marks)
    assert len(still.steps) == 3  # two set-ups, and nothing of them to begin with


def test_what_may_not_be_shown_yet_says_so_on_every_still(source: Source) -> None:
    until = replace(source, embargo=date(2031, 8, 1))

    for still in stills_of(until):
        for drawn in scenes(still):
            assert "Not to be shown before 1 August 2031" in {words.text for words in drawn.words}


def test_sequences_are_numbered_without_a_gap(made: Made) -> None:
    for folder in sorted((made.folder / "reveal").iterdir()):
        names = sorted(file.name for file in folder.iterdir())
        assert names == [f"{folder.name}-{number:04}.png" for number in range(len(names))]


def test_svgs_find_their_faces_beside_them(made: Made) -> None:
    text = (made.folder / "stills" / "standing-pickup-light.svg").read_text("utf-8")

    fonts = re.findall(r'url\("([^"]+)"\)', text)

    assert fonts
    assert all((Path(made.folder / "stills") / font).is_file() for font in fonts)
