"""Control charts of the reference."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from charts.hand_filled import Entry, view_of
from trialpress.charts import Chart, draw_charts
from trialpress.results.records import DriftRow

KEY = ("carpet", 1, "one-stock", "hall")
FIRST = DriftRow(
    protocol="carpet",
    version=1,
    setup="one-stock",
    floor="hall",
    run="a-1",
    day="2031-03-02-hall",
    at="2031-03-02",
    position=1,
    value=90.0,
    day_position=1,
    day_value=90.0,
    baseline=2,
    centre=90.5,
    sigma=0.5,
    lower=89.0,
    upper=92.0,
    moving_average=90.4,
    average_lower=89.9,
    average_upper=91.1,
    flags="",
    notices="",
)
SECOND = replace(
    FIRST, run="a-2", day="2031-03-05-hall", position=2, day_position=2, day_value=91.0
)
BEYOND = replace(
    FIRST,
    run="a-3",
    day="2031-04-09-hall",
    position=3,
    day_position=3,
    day_value=95.0,
    flags="beyond-limits|moving-average",
)


def chart_of(*runs: DriftRow) -> Chart:
    return draw_charts(view_of((Entry("one-stock", 90.0, 89.0, 91.0, (1, 1)),), drift=runs)).drift[
        KEY
    ]


def marks(chart: Chart) -> list[dict[str, Any]]:
    vega: dict[str, Any] = chart.vega
    (values,) = [data["values"] for data in vega["data"] if data["name"] == "rows"]
    return list(values)


def test_days_of_the_baseline_are_open_and_those_out_of_line_are_marked() -> None:
    told = [
        (m["is_baseline"], m["is_out"], m["average_is_out"])
        for m in marks(chart_of(FIRST, SECOND, BEYOND))
    ]

    assert told == [(True, False, False), (True, False, False), (False, True, True)]


def test_a_day_has_one_mark_at_its_date_however_many_runs_it_has() -> None:
    again = replace(FIRST, run="a-1-b", position=2, value=90.0)

    first, second = marks(chart_of(FIRST, again, replace(SECOND, position=3)))

    assert (first["day"], second["day"]) == (0, 3)
    assert (first["value"], second["value"]) == (90.0, 91.0)
    assert first["reading"].endswith("90 %, mean of 2 runs".replace(" %", "\N{NO-BREAK SPACE}%"))


def test_a_day_out_of_line_has_a_shape_of_its_own_in_both_panels() -> None:
    quiet, loud = chart_of(FIRST, SECOND), chart_of(FIRST, SECOND, BEYOND)
    doubt = 'stroke="#376c74"'  # the role `doubt` of the light theme

    assert doubt not in quiet.svg
    assert loud.svg.count(doubt) == 2
    assert "1 of them out of line" in loud.description


def test_without_limits_runs_are_drawn_and_no_line_is() -> None:
    bare = replace(
        FIRST,
        baseline=None,
        centre=None,
        lower=None,
        upper=None,
        moving_average=None,
        average_lower=None,
        average_upper=None,
    )

    assert 'stroke-dasharray="8,4"' not in chart_of(bare).svg
    assert "NaN" not in chart_of(bare).svg
    assert "1 day of the reference" in chart_of(bare).description
