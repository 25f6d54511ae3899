"""Ladders: every set-up, its interval and its places, in the picture and in the specification."""

from __future__ import annotations

from dataclasses import replace
from typing import Any
from xml.etree import ElementTree as ET

import pytest

from charts.hand_filled import CARPET, NOISE, Entry, overall_row, view_of
from trialpress.charts import Chart, draw_charts

DASH = "\N{EN DASH}"
SVG = "{http://www.w3.org/2000/svg}"
FIRST = Entry("one-stock", 94.0, 92.5, 95.5, (1, 2), top="certain")
SECOND = Entry(
    "two-stock", 93.1, 90.1, 96.1, (1, 3), maker="kelding", machine="kelding-two", top="possible"
)
THIRD = Entry(
    "one-slow",
    88.0,
    82.0,
    94.0,
    (2, 3),
    label="slow",
    stock=False,
    provisional=True,
    on_one_run=True,
    top="possible",
)
THREE = (FIRST, SECOND, THIRD)


def texts(svg: str) -> list[str]:
    root = ET.fromstring(svg)  # noqa: S314 -- drawn by the test itself
    return ["".join(element.itertext()) for element in root.iter(f"{SVG}text")]


def rows(vega: dict[str, Any]) -> list[dict[str, Any]]:
    (data,) = [data["values"] for data in vega["data"] if data["name"] == "rows"]
    return list(data)


def carpet(entries: tuple[Entry, ...] = THREE) -> Chart:
    return draw_charts(view_of(entries)).standings["carpet", 1]


def layouts(chart: Chart) -> list[str]:
    return [chart.svg, chart.svg_narrow]


@pytest.mark.parametrize("layout", [0, 1], ids=["wide", "narrow"])
def test_every_set_up_is_named_with_its_places_in_order(layout: int) -> None:
    drawn = texts(layouts(carpet())[layout])

    names = [text for text in drawn if text.startswith(("Ostrel", "Kelding"))]
    assert names == ["Ostrel One (as unboxed)", "Kelding Two (as unboxed)", "Ostrel One (slow)"]
    assert [text.replace(DASH, " to ") for text in drawn if DASH in text] == [
        "1 to 2",
        "1 to 3",
        "2 to 3",
    ]


@pytest.mark.parametrize("layout", [0, 1], ids=["wide", "narrow"])
def test_doubtful_set_ups_are_drawn_open_and_dashed_and_the_key_says_so(layout: int) -> None:
    svg = layouts(carpet())[layout]

    assert "open: fewer runs than asked for" in texts(svg)
    assert "dashed: on one run" in texts(svg)
    # One dashed interval, one dashed bracket, one dashed line in the key.
    assert svg.count('stroke-dasharray="3,3"') == 3


def test_the_key_leaves_out_what_does_not_occur() -> None:
    drawn = texts(carpet((FIRST, SECOND)).svg)

    assert "tinted: the top 2" in drawn
    assert not any(text.startswith(("open", "dashed")) for text in drawn)


def test_the_caption_says_that_overlapping_lines_do_not_decide() -> None:
    assert "Overlapping lines do not decide" in carpet().caption


def test_the_description_counts_the_top_cut_in_words() -> None:
    assert carpet().description == (
        "3 set-ups, first Ostrel One (as unboxed) with 94.0\N{NO-BREAK SPACE}%. "
        "In the top 2: 1 for certain, 2 possibly."
    )


def test_a_set_up_without_an_interval_keeps_its_dot_and_gets_no_line() -> None:
    lonely = Entry("one-stock", 94.0, None, None, (1, 1), on_one_run=True, provisional=True)

    chart = carpet((lonely,))

    assert rows(chart.vega)[0]["reading"] == (
        "Ostrel One (as unboxed): 94.0\N{NO-BREAK SPACE}%, interval unknown, place 1, provisional, "
        "on one run"
    )
    # The dashed bracket and the key; no dashed interval.
    assert chart.svg.count('stroke-dasharray="3,3"') == 2


def test_values_above_a_hundred_are_drawn_as_measured() -> None:
    over = Entry("one-stock", 104.2, 101.0, 107.4, (1, 1))

    vega: dict[str, Any] = carpet((over,)).vega

    ends = {signal["name"]: signal.get("value") for signal in vega["signals"]}
    assert ends["value_low"] < 101.0
    assert ends["value_high"] > 107.4


def test_lower_is_better_is_said_on_the_axis_and_the_order_is_that_of_the_standing() -> None:
    quiet = Entry("one-stock", 61.0, 60.0, 62.0, (1, 1), protocol="noise")
    loud = Entry("one-slow", 70.0, 69.0, 71.0, (2, 2), protocol="noise", label="slow")

    charts = draw_charts(view_of((quiet, loud), series=(NOISE,)))
    drawn = texts(charts.standings["noise", 1].svg)

    assert any("lower is better" in text for text in drawn)
    assert drawn.index("Ostrel One (as unboxed)") < drawn.index("Ostrel One (slow)")


def test_forty_five_set_ups_are_all_named() -> None:
    field = tuple(
        Entry(
            f"s{i:02}", 95.0 - i, 93.0 - i, 97.0 - i, (max(1, i), min(45, i + 3)), label=f"no {i}"
        )
        for i in range(45)
    )

    chart = carpet(field)

    for svg in layouts(chart):
        assert [t for t in texts(svg) if t.startswith("Ostrel")] == [
            f"Ostrel One (no {i})" for i in range(45)
        ]


def test_a_very_long_name_is_cut_with_an_ellipsis_and_said_in_full_in_the_reading() -> None:
    label = "with the long nozzle, the second brush, the quiet mode and the older firmware"
    entry = Entry("one-long", 94.0, 92.5, 95.5, (1, 1), label=label)

    chart = carpet((entry,))

    (name,) = [text for text in texts(chart.svg) if text.startswith("Ostrel")]
    assert name.endswith("…")
    assert label in rows(chart.vega)[0]["reading"]


def test_tied_set_ups_are_drawn_one_below_the_other() -> None:
    tied = Entry("two-stock", 94.0, 92.5, 95.5, (1, 2), maker="kelding", machine="kelding-two")

    drawn = texts(carpet((FIRST, tied)).svg)

    assert drawn.index("Ostrel One (as unboxed)") < drawn.index("Kelding Two (as unboxed)")


def test_every_series_has_its_own_ladder_earlier_ones_too() -> None:
    earlier = replace(CARPET, is_current=False)
    later = replace(CARPET, version=2, series_version=2)
    again = Entry("one-stock", 80.0, 79.0, 81.0, (1, 1), version=2)

    charts = draw_charts(view_of((FIRST, again), series=(earlier, later)))

    assert {chart.name: chart.title for chart in charts.standings.values()} == {
        "standings-carpet-v2": "Dust from carpet: values and places",
        "standings-carpet-v1": "Dust from carpet, version 1: values and places",
    }


def test_the_overall_ladder_leaves_out_whoever_has_no_place() -> None:
    overall = [overall_row(FIRST, 1, place=1), overall_row(SECOND, 2, place=None)]

    chart = draw_charts(view_of(THREE, overall=overall)).overall

    assert chart is not None
    assert [row["setup"] for row in rows(chart.vega)] == ["one-stock"]


def test_without_an_overall_place_there_is_no_overall_ladder() -> None:
    assert draw_charts(view_of(THREE)).overall is None
