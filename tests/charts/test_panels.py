"""Small panels: the set-ups of two makers side by side."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from charts.hand_filled import CARPET, NOISE, Entry, view_of
from trialpress.charts import Chart, draw_charts

OWN = Entry("one-stock", 94.0, 92.5, 95.5, (1, 2), runs=(93.0, 94.0, 95.0))
SLOW = Entry(
    "one-slow", 90.0, 85.0, 95.0, (1, 3), label="slow", stock=False, on_one_run=True, runs=(90.0,)
)
OTHER = Entry("two-stock", 88.0, 86.5, 89.5, (2, 3), maker="kelding", machine="kelding-two")
LOUD = Entry("one-stock", 61.5, None, None, (1, 1), protocol="noise", runs=(61.5,))


def rows(chart: Chart, kind: str) -> list[dict[str, Any]]:
    vega: dict[str, Any] = chart.vega
    (data,) = [data["values"] for data in vega["data"] if data["name"] == "rows"]
    return [row for row in data if row["kind"] == kind]


def test_two_makers_share_the_panels_of_series_that_both_were_tried_in() -> None:
    pairs = draw_charts(view_of((OWN, SLOW, OTHER, LOUD), series=(CARPET, NOISE))).pairs

    assert pairs is not None
    assert pairs.makers == ("kelding", "ostrel")  # by name, neither before the other by merit
    assert {row["setup"] for row in rows(pairs.chart, "dot")} == {
        "one-stock",
        "one-slow",
        "two-stock",
    }
    assert pairs.chart.title == "Kelding and Ostrel"
    assert pairs.chart.description == (
        "Set-ups of Kelding and Ostrel in 1 series, each with its mean and interval: 3 in all."
    )


def test_the_rows_of_two_makers_are_those_of_their_chart_the_second_in_squares() -> None:
    pairs = draw_charts(view_of((OWN, SLOW, OTHER, LOUD), series=(CARPET, NOISE))).pairs

    assert pairs is not None
    first, second = pairs.makers
    one: Any = pairs.rows[first]["0"]
    other: Any = pairs.rows[second]["0"]
    drawn = [*rows(pairs.chart, "label"), *rows(pairs.chart, "dot")]
    told = [{key: value for key, value in row.items() if value is not None} for row in drawn]
    expected = [*one, *({**row, "is_second": True} for row in other)]
    assert sorted(told, key=str) == sorted(expected, key=str)
    assert list(pairs.rows["ostrel"]) == ["0", "1"]  # noise, which the other was not tried on


def test_makers_that_were_never_tried_alike_have_no_chart_together() -> None:
    elsewhere = replace(OTHER, protocol="noise")

    assert draw_charts(view_of((OWN, elsewhere), series=(CARPET, NOISE))).pairs is None
