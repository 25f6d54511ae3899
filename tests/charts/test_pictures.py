"""Pictures: accessible, self-contained, recoloured by the page, the same on every build."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from typing import Any
from xml.etree import ElementTree as ET

import pytest
import vl_convert

from charts.hand_filled import CARPET, NOISE, Entry, overall_row, view_of
from trialpress.charts import Chart, Charts, draw_charts, read_theme
from trialpress.charts.form import read_form
from trialpress.charts.forms import FOLDER, FORMS, compiled

SVG = "{http://www.w3.org/2000/svg}"
ENTRIES = (
    Entry("one-stock", 94.0, 92.5, 95.5, (1, 2), runs=(93.0, 95.0)),
    Entry("two-stock", 88.0, 86.5, 89.5, (2, 2), maker="kelding", machine="kelding-two"),
    Entry("one-stock", 61.5, 60.0, 63.0, (1, 1), protocol="noise", runs=(61.5,), on_one_run=True),
)


def draw_all() -> Charts:
    overall = [overall_row(ENTRIES[0], 1, place=1)]
    return draw_charts(view_of(ENTRIES, series=(CARPET, NOISE), overall=overall))


def each(charts: Charts) -> Iterator[Chart]:
    assert charts.overall is not None
    yield charts.overall
    yield from charts.standings.values()


@pytest.fixture(scope="module")
def drawn() -> list[Chart]:
    return list(each(draw_all()))


@pytest.fixture(params=["overall", "standings-carpet-v1", "standings-noise-v1"])
def chart(request: pytest.FixtureRequest, drawn: list[Chart]) -> Chart:
    (found,) = (chart for chart in drawn if chart.name == request.param)
    return found


@pytest.fixture(params=["svg", "svg_narrow"])
def svg(request: pytest.FixtureRequest, chart: Chart) -> str:
    picture: str = getattr(chart, request.param)
    return picture


def parsed(svg: str) -> ET.Element:
    return ET.fromstring(svg)  # noqa: S314 -- drawn by the test itself


def faces_of_texts(element: ET.Element, face: str | None) -> Iterator[str | None]:
    """The face of every text below, its own or that of the group around it."""
    face = element.get("font-family", face)
    if element.tag == f"{SVG}text":
        yield face
    for child in element:
        yield from faces_of_texts(child, face)


def test_a_picture_has_a_role_a_name_and_a_description(svg: str) -> None:
    root = parsed(svg)

    title, desc = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert root.get("role") == "img"
    assert title is not None
    assert title.text
    assert desc is not None
    assert desc.text
    assert root.get("aria-labelledby") == title.get("id")
    assert root.get("aria-describedby") == desc.get("id")


def test_a_picture_needs_no_style_no_script_and_nothing_from_outside(svg: str) -> None:
    elements = list(parsed(svg).iter())

    assert [element for element in elements if "style" in element.attrib] == []
    assert {element.tag.removeprefix(SVG) for element in elements} <= {
        "svg", "title", "desc", "g", "path", "circle", "text", "tspan",
    }  # fmt: skip


def test_a_picture_is_as_wide_as_its_place_and_keeps_its_proportions(svg: str) -> None:
    root = parsed(svg)

    assert root.get("width") == "100%"
    assert "height" not in root.attrib
    assert re.fullmatch(r"0 0 \d+ \d+", root.attrib["viewBox"])


def test_the_narrow_picture_is_legible_on_a_screen_of_320_pixels(chart: Chart) -> None:
    # Text of 12 px drawn 360 px wide is still 9.6 px high in the 288 px that margins leave.
    width = float(parsed(chart.svg_narrow).attrib["viewBox"].split()[2])

    assert width <= 360


def test_only_colours_of_the_palette_are_used_so_that_all_follow_the_dark(svg: str) -> None:
    palette = {colour for _, colour in read_theme().light.roles()}

    used = {
        element.attrib[paint]
        for element in parsed(svg).iter()
        for paint in ("fill", "stroke")
        if paint in element.attrib
    }

    assert used <= {*palette, "none"}


def test_words_are_set_in_the_one_face_that_is_always_there(svg: str) -> None:
    assert set(faces_of_texts(parsed(svg), None)) == {read_theme().chart_face}


def test_a_still_made_from_a_picture_has_its_words_on_it(drawn: list[Chart]) -> None:
    # An unknown face would leave them out without a word.
    svg = drawn[0].svg.replace('width="100%"', "")
    wordless = re.sub(r"<text.*?</text>", "", svg)

    assert vl_convert.svg_to_png(svg) != vl_convert.svg_to_png(wordless)


def test_no_two_pictures_share_an_id(drawn: list[Chart]) -> None:
    pictures = [picture for chart in drawn for picture in (chart.svg, chart.svg_narrow)]
    ids = [e.attrib["id"] for svg in pictures for e in parsed(svg).iter() if "id" in e.attrib]

    assert len(ids) == len(set(ids))


def test_words_are_escaped_where_they_stand_in_a_picture() -> None:
    nasty = replace(ENTRIES[0], label='</svg><script>"&')

    svg = draw_charts(view_of((nasty,))).standings["carpet", 1].svg

    assert "<script" not in svg
    assert any(nasty.label in "".join(e.itertext()) for e in parsed(svg).iter(f"{SVG}text"))


def test_the_same_results_give_the_same_bytes_whatever_was_drawn_before(
    drawn: list[Chart],
) -> None:
    again = list(each(draw_all()))

    assert again == drawn


@pytest.mark.parametrize("narrow", [False, True])
def test_the_signal_shown_leaves_only_the_set_ups_it_names(
    narrow: bool,  # noqa: FBT001
    drawn: list[Chart],
) -> None:
    (chart,) = [chart for chart in drawn if chart.name == "standings-carpet-v1"]
    vega: dict[str, Any] = chart.vega_narrow if narrow else chart.vega
    signals = [
        {**signal, "value": ["two-stock"]} if signal["name"] == "shown" else signal
        for signal in vega["signals"]
    ]

    svg = vl_convert.vega_to_svg({**vega, "signals": signals})

    assert "Kelding Two (as unboxed)" in svg
    assert "Ostrel One (as unboxed)" not in svg


def test_the_signal_chosen_is_drawn_in_the_accent(chart: Chart) -> None:
    vega: dict[str, Any] = chart.vega
    (data,) = [data["values"] for data in vega["data"] if data["name"] == "rows"]
    signals = [
        {**signal, "value": data[0]["setup"]} if signal["name"] == "chosen" else signal
        for signal in vega["signals"]
    ]

    svg = vl_convert.vega_to_svg({**vega, "signals": signals})

    assert read_theme().light.accent not in chart.svg
    assert read_theme().light.accent in svg


def test_the_compiled_forms_of_the_package_are_those_that_the_code_makes() -> None:
    """``make forms`` compiles them anew after a change, or with a newer renderer."""
    there = {file.stem: file.read_text(encoding="utf-8") for file in FOLDER.glob("*.json")}

    assert there == {name: compiled(form()) for name, form in FORMS.items()}


def test_a_form_has_every_word_it_is_filled_with() -> None:
    with pytest.raises(ValueError, match="no word called nonsense"):
        read_form("ladder-wide").filled({}, {}, {"nonsense": "x"})
