"""Small panels: every run of a machine, and a maker's set-ups among all others."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from charts.hand_filled import CARPET, NOISE, Entry, view_of
from trialpress.charts import Chart, Charts, draw_charts

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


def charts() -> Charts:
    return draw_charts(view_of((OWN, SLOW, OTHER, LOUD), series=(CARPET, NOISE)))


def test_every_run_of_a_machine_is_one_circle_in_the_panel_of_its_series() -> None:
    runs = rows(charts().machines["ostrel-one"], "run")

    assert [(run["heading"], run["value"]) for run in runs] == [
        ("Dust from carpet\nin % (higher is better)", 93.0),
        ("Dust from carpet\nin % (higher is better)", 94.0),
        ("Dust from carpet\nin % (higher is better)", 95.0),
        ("Dust from carpet\nin % (higher is better)", 90.0),
        ("Noise\nin dB (lower is better)", 61.5),
    ]


def test_the_machine_as_unboxed_comes_first_in_a_panel() -> None:
    labels = rows(charts().machines["ostrel-one"], "label")

    assert [label["label"] for label in labels] == ["as unboxed", "slow", "as unboxed"]


def test_a_mean_without_an_interval_is_drawn_without_one() -> None:
    (mean,) = [
        row
        for row in rows(charts().machines["ostrel-one"], "mean")
        if row["heading"].startswith("Noise")
    ]

    assert (mean["value"], mean["low"], mean["high"]) == (61.5, None, None)


def test_a_maker_stands_above_the_means_of_all_other_makers() -> None:
    maker = charts().makers["ostrel"]

    assert [row["setup"] for row in rows(maker, "dot")] == ["one-stock", "one-slow", "one-stock"]
    assert [(row["setup"], row["value"]) for row in rows(maker, "field")] == [("two-stock", 88.0)]


def test_a_maker_alone_in_a_series_has_no_row_for_the_others() -> None:
    labels = [row["label"] for row in rows(charts().makers["ostrel"], "label")]

    assert labels == ["One (as unboxed)", "One (slow)", "the rest of the field", "One (as unboxed)"]


def test_a_maker_has_no_panel_for_a_series_it_was_not_run_in() -> None:
    headings = {row["heading"] for row in rows(charts().makers["kelding"], "label")}

    assert headings == {"Dust from carpet\nin % (higher is better)"}


def test_an_earlier_series_has_a_panel_of_its_own_after_the_current_one() -> None:
    before = replace(CARPET, is_current=False)
    after = replace(CARPET, version=2, series_version=2)
    again = Entry("one-stock", 80.0, 79.0, 81.0, (1, 1), version=2, runs=(80.0,))

    chart = draw_charts(view_of((OWN, again), series=(before, after))).machines["ostrel-one"]

    assert [row["heading"] for row in rows(chart, "mean")] == [
        "Dust from carpet\nin % (higher is better)",
        "Dust from carpet\nin % (higher is better), version 1",
    ]


def test_two_protocols_of_one_title_are_told_apart_by_their_slugs() -> None:
    twin = replace(CARPET, protocol="rug")
    there = Entry("one-stock", 80.0, 79.0, 81.0, (1, 1), protocol="rug", runs=(80.0,))

    chart = draw_charts(view_of((OWN, there), series=(CARPET, twin))).machines["ostrel-one"]

    assert [row["heading"] for row in rows(chart, "mean")] == [
        "Dust from carpet\nin % (higher is better), carpet",
        "Dust from carpet\nin % (higher is better), rug",
    ]


def test_the_text_alternatives_count_runs_set_ups_and_series() -> None:
    drawn = charts()

    assert drawn.machines["ostrel-one"].description == (
        "Every valid run of Ostrel One, 5 in 2 series, as one circle each, with the mean and its "
        "interval."
    )
    assert drawn.makers["ostrel"].description == (
        "The 2 set-ups of Ostrel in 2 series, each with its mean and interval, above the means of "
        "all other set-ups."
    )


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
