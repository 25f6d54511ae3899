"""Pictures with letters in place of words are those that Vega draws with the words in them."""

from __future__ import annotations

import re
from xml.etree import ElementTree as ET

import pytest
import vl_convert

from charts.hand_filled import CARPET, NOISE, Entry, overall_row, view_of
from trialpress.charts import Charts, draw_charts
from trialpress.charts.chart import Json
from trialpress.charts.lettering import draw_svg

LONG = "with the long brush and the wide nozzle, twice lengthways and once across, slowly"
ENTRIES = (
    Entry("one", 94.0, 92.5, 95.5, (1, 2), runs=(93.0, 95.0), label='À <b> "&" Я Ω'),
    Entry("two", 88.0, 86.5, 89.5, (2, 3), maker="kelding", machine="kelding-two", label=LONG),
    Entry("three", 61.5, None, None, (1, 3), runs=(61.5,), label="x", on_one_run=True),
    Entry("four", 61.5, 60.0, 63.0, (1, 1), protocol="noise", label="2\nand one", provisional=True),
)


@pytest.fixture(scope="module")
def charts() -> Charts:
    overall = [overall_row(ENTRIES[0], 1, place=1)]
    return draw_charts(view_of(ENTRIES, series=(CARPET, NOISE), overall=overall))


def drawn_by_vega(specification: dict[str, Json]) -> list[tuple[str, str | None, list[str]]]:
    return seen(ET.fromstring(vl_convert.vega_to_svg(specification)))  # noqa: S314 -- our own


def seen(root: ET.Element) -> list[tuple[str, str | None, list[str]]]:
    """Every element with its text and attributes; ids are counted on, labels are not shown."""
    return [
        (
            element.tag,
            element.text,
            [
                f"{key} {re.sub(r'clip[0-9]+', 'clip', value)}"
                for key, value in element.attrib.items()
                if key != "aria-label"
            ],
        )
        for element in root.iter()
    ]


@pytest.mark.parametrize(
    "name", ["overall", "maker-pair", "standings-carpet-v1", "standings-noise-v1"]
)
def test_letters_in_place_of_words_change_nothing_in_a_picture(name: str, charts: Charts) -> None:
    (chart,) = (chart for chart in charts if chart.name == name)
    for specification in (chart.vega, chart.vega_narrow):
        assert seen(draw_svg(specification)) == drawn_by_vega(specification)


def test_a_heading_too_wide_for_its_panel_still_widens_the_picture() -> None:
    wide: dict[str, Json] = {
        "width": 100, "height": 20, "data": [{"name": "rows", "values": [{"label": LONG}]}],
        "marks": [{"type": "text", "from": {"data": "rows"}, "encode": {"enter": {
            "text": {"field": "label"}, "font": {"value": "Liberation Sans"},
        }}}],
    }  # fmt: skip

    assert seen(draw_svg(wide)) == drawn_by_vega(wide)
