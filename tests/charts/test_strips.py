"""Strips: every run of a machine, and a maker's set-ups, before all others."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from charts.hand_filled import CARPET, NOISE, Entry, view_of
from trialpress.charts import Charts, draw_charts
from trialpress.charts.chart import Strip, StripLine
from trialpress.charts.panels import PanelMark, PanelRow, RunRow
from trialpress.charts.picture import ChartWords
from trialpress.charts.strips import (
    FEW_DAYS,
    FIELD_REACH,
    LONG_TICK,
    TICK,
    Scale,
    draw_strips,
    ruler_marks,
)

OWN = Entry("one-stock", 94.0, 92.5, 95.5, (1, 2), runs=(93.0, 94.0, 95.0))
SLOW = Entry(
    "one-slow", 90.0, 85.0, 95.0, (1, 3), label="slow", stock=False, on_one_run=True, runs=(90.0,)
)
OTHER = Entry("two-stock", 88.0, 86.5, 89.5, (2, 3), maker="kelding", machine="kelding-two")
LOUD = Entry("one-stock", 61.5, None, None, (1, 1), protocol="noise", runs=(61.5,))
WORDS = ChartWords("runs", "Runs", "Runs of a machine.", "A circle is a run.")


def charts() -> Charts:
    return draw_charts(view_of((OWN, SLOW, OTHER, LOUD), series=(CARPET, NOISE)))


def run(value: float, date: str) -> RunRow:
    return RunRow("Carpet\nin %", 0, PanelMark.RUN, "one", 0, "one", value=value, date=date)


def strokes(path: str) -> list[tuple[float, float]]:
    """Where the upright strokes of a path stand, and how long each is (SVG 2, 9.3)."""
    found, along = [], 0.0
    for command, x, length in re.findall(r"([Mm])([-.\d]+?)(?: |(?=-)|$)[-\d]+v(\d+)", path):
        along = float(x) if command == "M" else along + float(x)
        found.append((along, float(length)))
    return found


def drawn(*rows: PanelRow) -> StripLine:
    (strip,) = draw_strips(WORDS, rows).strips
    (line,) = strip.lines
    return line


def test_every_run_of_a_machine_is_one_circle_in_the_strip_of_its_series() -> None:
    carpet, noise = charts().machines["ostrel-one"].strips

    assert (carpet.title, carpet.under) == ("Dust from carpet", "in % (higher is better)")
    assert [len(line.dots) for line in carpet.lines] == [3, 1]
    assert [len(line.dots) for line in noise.lines] == [1]


def test_a_series_has_one_scale_for_all_machines() -> None:
    """From 85 to 95.5 with 5 % of air, by hand: 94 is at (94 - 84.475) / 11.55 = 0.82468,
    90 at 0.47835.
    """
    one, two = (charts().machines[name].strips[0] for name in ("ostrel-one", "kelding-two"))

    assert one.lines[0].mean.startswith("M825 ")
    assert [along for along, _ in strokes(two.field)] == [478, 825]
    assert one.figures == two.figures


def test_long_ticks_of_a_ruler_stand_at_its_figures_and_nine_short_ones_between_two() -> None:
    (strip, _) = charts().machines["ostrel-one"].strips
    ticks = strokes(strip.ruler)
    long = [along for along, length in ticks if length == LONG_TICK]
    short = [along for along, length in ticks if length == TICK]

    said = [10 * float(figure.along.removesuffix("%")) for figure in strip.figures]
    assert long == pytest.approx(said, abs=0.6)
    assert len(long) > 2
    assert len([along for along in short if long[0] + 1 < along < long[1] - 1]) == 9


def test_the_field_is_a_stroke_at_each_mean_and_one_where_two_are_at_the_same_place() -> None:
    marks = ruler_marks(Scale(0.0, 100.0), (20.0, 10.0, 10.0, 40.0))

    assert strokes(marks.field) == [(100, FIELD_REACH), (200, FIELD_REACH), (400, FIELD_REACH)]


def test_the_machine_as_unboxed_comes_first_and_the_field_is_behind() -> None:
    (strip, _) = charts().machines["ostrel-one"].strips

    assert [line.label for line in strip.lines] == ["as unboxed", "slow"]
    assert [line.is_dashed for line in strip.lines] == [False, True]
    assert strip.field.count("v") == 1  # two-stock


def test_a_mean_without_an_interval_is_drawn_without_one() -> None:
    (line,) = charts().machines["ostrel-one"].strips[1].lines

    assert line.mean
    assert not line.interval


def test_a_strip_says_its_lines() -> None:
    (strip, _) = charts().machines["ostrel-one"].strips

    assert strip.spoken == (
        "as unboxed: 94.0\N{NO-BREAK SPACE}% (92.5 to 95.5); "
        "slow: 90.0\N{NO-BREAK SPACE}% (85.0 to 95.0), on one run"
    )


def test_a_maker_stands_before_the_means_of_all_other_makers() -> None:
    drawn = charts()
    own, other = drawn.makers["ostrel"].strips, drawn.makers["kelding"].strips

    assert [line.label for line in own[0].lines] == ["One (as unboxed)", "One (slow)"]
    assert [strip.field.count("v") for strip in own] == [1, 0]
    assert [strip.title for strip in other] == ["Dust from carpet"]  # noise was not tried


def test_an_earlier_series_has_a_strip_of_its_own_after_the_current_one() -> None:
    before = replace(CARPET, is_current=False)
    after = replace(CARPET, version=2, series_version=2)
    again = Entry("one-stock", 80.0, 79.0, 81.0, (1, 1), version=2, runs=(80.0,))

    chart = draw_charts(view_of((OWN, again), series=(before, after))).machines["ostrel-one"]

    assert [strip.under for strip in chart.strips] == [
        "in % (higher is better)",
        "in % (higher is better), version 1",
    ]


def test_two_protocols_of_one_title_are_told_apart_by_their_slugs() -> None:
    twin = replace(CARPET, protocol="rug")
    there = Entry("one-stock", 80.0, 79.0, 81.0, (1, 1), protocol="rug", runs=(80.0,))

    chart = draw_charts(view_of((OWN, there), series=(CARPET, twin))).machines["ostrel-one"]

    assert [strip.under.rpartition(", ")[2] for strip in chart.strips] == ["carpet", "rug"]


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


def test_runs_of_one_day_share_a_line_with_its_date() -> None:
    line = drawn(run(90.0, "1 Mar 2031"), run(92.0, "1 Mar 2031"), run(91.0, "2 Mar 2031"))

    assert [dot.down for dot in line.dots] == [26, 26, 42]  # 18 for the label, 16 a day
    assert [(day.down, day.words) for day in line.days] == [(26, "1 Mar 2031"), (42, "2 Mar 2031")]


def test_a_date_gives_way_to_runs_at_the_beginning_of_a_line() -> None:
    line = drawn(run(90.0, "1 Mar 2031"), run(98.0, "2 Mar 2031"))

    assert [day.is_at_end for day in line.days] == [True, False]


@given(st.integers(1, 60))
def test_dates_never_stand_on_each_other_and_the_first_is_told(days: int) -> None:
    line = drawn(*(run(90.0 + day, f"day {day}") for day in range(days)))

    downs = [day.down for day in line.days]
    assert line.days[0].words == "day 0"
    assert all(later - earlier >= 16 for earlier, later in pairwise(downs))
    assert len(downs) == days or days > FEW_DAYS


@given(st.lists(st.floats(-1e6, 1e6), min_size=1, max_size=9))
def test_whatever_is_measured_stays_within_the_width(values: list[float]) -> None:
    rows = [run(value, "1 Mar 2031") for value in values]
    strip: Strip = draw_strips(WORDS, rows).strips[0]

    along = [float(dot.along.rstrip("%")) for line in strip.lines for dot in line.dots]
    assert all(0 <= share <= 100 for share in along)
