"""Results against prices and against stated figures."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

import pytest

from charts.flattened import seen
from charts.hand_filled import CARPET, Entry, view_of
from trialpress.analyses.records import (
    ClaimAssociationRow,
    ClaimCheckRow,
    MachineValueRow,
    ValueRow,
)
from trialpress.charts import Chart, draw_charts
from trialpress.charts.scatter import price_ticks
from trialpress.view import View

ENTRIES = (
    Entry("one-stock", 94.0, 92.5, 95.5, (1, 2)),
    Entry("two-stock", 90.0, 88.0, 92.0, (1, 2), machine="ostrel-two"),
    Entry("three-stock", 80.0, 78.0, 82.0, (3, 3), machine="ostrel-three"),
)
FRONTS = ("certain", "possible", "beaten")

STATED = ClaimAssociationRow(
    quantity="suction",
    unit="kPa",
    protocol="carpet",
    version=1,
    machines=3,
    makers=1,
    rho=-0.5,
    rho_low=-0.9,
    rho_high=0.4,
    p=0.2,
    p_fdr=0.2,
    relation="cannot tell",
    raw_rho=None,
    raw_p=None,
    differs_from_raw=False,
    warning=None,
    why=None,
)


def value_row(entry: Entry, front: str | None, price: float) -> ValueRow:
    return ValueRow(
        protocol="carpet",
        version=1,
        setup=entry.setup,
        machine=entry.machine,
        maker=entry.maker,
        mean=entry.mean,
        low=entry.low,
        high=entry.high,
        n=3,
        price=price,
        currency="EUR",
        priced_on=date(2030, 1, 1),
        is_price_old=True,
        cost_no_more=1,
        front=front,
        beaten_by=None,
        beaten_by_count=None,
        unit="%",
        decimals=1,
        why=None,
    )


def filled(fronts: Sequence[str | None] = FRONTS) -> View:
    view = view_of(ENTRIES)
    rows = [
        value_row(entry, front, price)
        for entry, front, price in zip(ENTRIES, fronts, (79.0, 250.0, 1399.0), strict=True)
    ]
    view.store.write_records("value_front", ValueRow, rows)
    return view


def rows_of(chart: Chart) -> list[dict[str, Any]]:
    data: Any = chart.vega["data"]
    (rows,) = [part["values"] for part in data if part["name"] == "rows"]
    return list(rows)


def test_a_mark_says_what_it_is_at_what_price_and_that_the_price_is_old() -> None:
    chart = draw_charts(filled()).values["carpet", 1]

    readings = [row["reading"].replace("\N{NO-BREAK SPACE}", " ") for row in rows_of(chart)]
    assert (
        "Ostrel One (as unboxed): 94.0 % for EUR 79, a price more than a year old; nobody beats it "
        "at its price"
    ) in readings
    named = {row["name"]: row["named"] for row in rows_of(chart) if row["name"]}
    assert named == {"One": "right"}  # the one that is unbeaten, and is best besides
    assert all(words in chart.svg for words in (">Price in EUR<", ">Mean in % (higher is better)<"))
    assert chart.title == "Dust from carpet: results against prices"
    assert chart.description == (
        "Shown to be better than all that cost no more: Ostrel One (as unboxed). 3 set-ups with a "
        "price; 1 more possibly, 1 beaten."
    )


def test_what_cannot_be_compared_is_not_drawn() -> None:
    chart = draw_charts(filled((None, "possible", "beaten"))).values["carpet", 1]

    assert {row["setup"] for row in rows_of(chart)} == {"two-stock", "three-stock"}


@pytest.mark.parametrize("layout", ["svg", "svg_narrow"])
def test_the_three_fronts_differ_without_colour(layout: str) -> None:
    """Filled and open circles and a cross: by fill and outline, not by hue."""
    looks = set()
    for front in FRONTS:
        svg = getattr(draw_charts(filled((front, None, None))).values["carpet", 1], layout)
        (mark,) = [look for look in seen(svg).parts if look[0] != "text" and "#1a2129" in look]
        looks.add(mark[:2])

    # A line of the cross has no fill.
    assert looks == {("circle", "#1a2129"), ("circle", "#f6f7f1"), ("line", "#1a2129")}


def test_prices_have_round_ticks_within_their_range() -> None:
    assert price_ticks([34.5, 1399.0]) == [50, 100, 200, 500, 1000]


def test_a_panel_of_claims_tells_how_far_they_go_together() -> None:
    view = view_of(ENTRIES, series=(CARPET,))
    view.store.write_records(
        "claim_checks", ClaimCheckRow, [claim(entry.machine) for entry in ENTRIES]
    )
    view.store.write_records(
        "machine_values", MachineValueRow, [machine(entry.machine) for entry in ENTRIES]
    )
    view.store.write_records("claim_associations", ClaimAssociationRow, [STATED])

    chart = draw_charts(view).claims["suction"]

    assert len(rows_of(chart)) == 3
    assert rows_of(chart)[0]["heading"] == (
        "Dust from carpet\nrho \N{MINUS SIGN}0.50 (\N{MINUS SIGN}0.90 to 0.40), 3 machines"
    )
    assert chart.title == "Results against suction as stated"
    assert "One dot a machine" in chart.svg


def test_a_bench_without_prices_and_claims_has_no_such_charts() -> None:
    charts = draw_charts(view_of(ENTRIES))

    assert (charts.values, charts.claims) == ({}, {})


def claim(name: str) -> ClaimCheckRow:
    return ClaimCheckRow(
        claim=f"{name}-suction",
        machine=name,
        maker="ostrel",
        quantity="suction",
        stated_value=20.0,
        stated_unit="kPa",
        tolerance_pct=0.0,
        source="box",
        stated_on=date(2031, 2, 1),
        is_newest=True,
        is_of_machine=True,
        value=20.0,
        unit="kPa",
        dimension="pressure",
        protocol=None,
        version=None,
        setup=None,
        held_against=None,
        candidates=None,
        bound=None,
        measured=None,
        n=None,
        difference=None,
        difference_low=None,
        difference_high=None,
        p=None,
        p_holm=None,
        verdict=None,
        decimals=None,
        why="not-measured-here",
    )


def machine(name: str) -> MachineValueRow:
    return MachineValueRow(
        protocol="carpet",
        version=1,
        machine=name,
        maker="ostrel",
        setups=1,
        value=90.0,
        kind="stick",
        head=None,
        mop=None,
        price=None,
        price_band=None,
        price_band_from=None,
        price_band_to=None,
        released_year=None,
        unit="%",
        decimals=1,
        why=None,
    )
