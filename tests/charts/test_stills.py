"""The pictures of charts are those that Vega draws from the specifications of the same charts.

Vega 6, as vl-convert has it, is the independent library; the pictures are drawn without it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest
import vl_convert

from charts.flattened import Seen, seen
from charts.hand_filled import CARPET, NOISE, Entry, SeriesRow, overall_row, view_of
from charts.test_drift import BEYOND, FIRST, SECOND
from charts.test_scatter import STATED, claim, machine, value_row
from trialpress.analyses.records import (
    ClaimAssociationRow,
    ClaimCheckRow,
    MachineValueRow,
    ValueRow,
)
from trialpress.charts import Chart, Charts, draw_charts
from trialpress.charts.chart import Json
from trialpress.charts.stills.axes import plain_axis, round_axis

WHOLE_PX, PART_PX = 4, 2.1
"""What a picture and its parts may differ by: Vega rounds the room of words one by one."""
FALLING = replace(
    BEYOND, run="a-4", day="2033-11-30-hall", position=4, day_position=4, day_value=8.0
)
MAKERS = ("ostrel", "kelding", "vask")
NAMES = {"standings-carpet-v1", "standings-noise-v1", "overall", "value-carpet-v1", "maker-pair",
         "claims-suction-kpa", "watch-carpet-v1-ostrel-0-stock-hall"}  # fmt: skip
SUCKED = SeriesRow("rug", 1, 1, "Dust <deep> in a rug & below", "%", "higher", 1.0, is_current=True)


def entries() -> Iterator[Entry]:
    """Set-ups enough for figures to be left out, of each kind there is."""
    for number in range(34):
        maker = MAKERS[number % 3]
        low, high = (None, None) if number == 4 else (88.2 - number, 91.7 - 0.9 * number)
        made = Entry(f"{maker}-{number}-stock", 90.0 - number, low, high,
                     (max(number - 3, 1), min(number + 5, 34)), maker=maker,
                     machine=f"{maker}-{number}", provisional=number % 5 == 0,
                     on_one_run=number % 4 == 0, runs=(90.0 - number,))  # fmt: skip
        yield made
        if number < 12:
            yield replace(made, protocol="rug", mean=5_200.5 - 100 * number, low=None, high=None)
        if number < 2:
            yield replace(made, protocol="noise", mean=61.5, low=60.25, high=62.75, places=(1, 2))


@pytest.fixture(scope="module")
def charts() -> Charts:
    rows = list(entries())
    carpets = [row for row in rows if row.protocol == "carpet"]
    view = view_of(
        rows,
        series=(CARPET, NOISE, SUCKED),
        overall=[overall_row(row, at, place=at) for at, row in enumerate(carpets, start=1)],
        drift=[replace(run, setup="ostrel-0-stock") for run in (FIRST, SECOND, BEYOND, FALLING)],
    )
    fronts = ("certain", "possible", "beaten")
    view.store.write_records(
        "value_front",
        ValueRow,
        [value_row(row, fronts[at % 3], 35.0 + 40.5 * at) for at, row in enumerate(carpets)],
    )
    view.store.write_records("claim_checks", ClaimCheckRow, [
        replace(claim(row.machine), stated_value=18.0 + at % 7) for at, row in enumerate(carpets)
    ])  # fmt: skip
    view.store.write_records("machine_values", MachineValueRow, [
        replace(machine(row.machine), protocol=row.protocol)
        for row in rows
        if row.protocol != "noise"
    ])  # fmt: skip
    view.store.write_records("claim_associations", ClaimAssociationRow, [
        STATED, replace(STATED, protocol="rug", rho_low=None, rho_high=None, rho=0.333)
    ])  # fmt: skip
    return draw_charts(view)


def differences(by_vega: Seen, ours: Seen) -> Iterator[str]:
    """What only one of two pictures shows, and what they show in different places."""
    for look in {*by_vega.parts, *ours.parts}:
        left = list(ours.parts.get(look, []))
        for place in by_vega.parts.get(look, []):
            nearest = min(left, key=lambda other: distance(place, other), default=None)
            if nearest is None or distance(place, nearest) > PART_PX:
                yield f"Vega alone draws {look} at {place}, not {nearest}"
            else:
                left.remove(nearest)
        yield from (f"Vega does not draw {look} at {place}" for place in left)


def distance(one: tuple[float, ...], other: tuple[float, ...]) -> float:
    return max(abs(a - b) for a, b in zip(one, other, strict=True))


def layouts(chart: Chart) -> Iterator[tuple[str, dict[str, Json]]]:
    yield chart.svg, chart.vega
    yield chart.svg_narrow, chart.vega_narrow


@pytest.mark.parametrize("name", sorted(NAMES))
def test_a_picture_shows_what_vega_draws_from_the_same_rows(name: str, charts: Charts) -> None:
    (chart,) = (chart for chart in charts if chart.name == name)

    for svg, vega in layouts(chart):
        by_vega, ours = seen(vl_convert.vega_to_svg(vega)), seen(svg)
        assert list(differences(by_vega, ours)) == []
        assert distance(by_vega.size, ours.size) <= WHOLE_PX


def test_an_axis_of_one_value_has_its_one_figure() -> None:
    axis = round_axis([61.5], 200, 10)

    assert (axis.at(61.5), axis.ticks, axis.labels) == (100, (61.5,), ("61.5",))


def test_figures_of_an_axis_have_the_digits_that_their_step_needs() -> None:
    # The examples of d3-array's documentation: ticks(0, 1, 5), and a step of 5.
    assert plain_axis(0, 1, 100).labels == ("0.0", "0.2", "0.4", "0.6", "0.8", "1.0")
    assert plain_axis(-5, 12, 300).labels == ("\N{MINUS SIGN}5", "0", "5", "10")
