"""What goes with good results, as a circle a machine."""

from __future__ import annotations

from charts.hand_filled import Entry, view_of
from trialpress.analyses.records import AssociationRow, MachineValueRow
from trialpress.charts import Strips, draw_charts

ENTRIES = tuple(
    Entry(f"{name}-stock", 90.0, 88.0, 92.0, (1, 3), machine=f"ostrel-{name}")
    for name in ("one", "two", "three")
)


def machine(name: str, value: float | None, kind: str, price: float | None) -> MachineValueRow:
    return MachineValueRow(
        protocol="carpet",
        version=1,
        machine=f"ostrel-{name}",
        maker="ostrel",
        setups=1,
        value=value,
        kind=kind,
        head=None,
        mop=None,
        price=price,
        price_band=None if price is None else f"{price:g}-{2 * price:g}",
        price_band_from=price,
        price_band_to=None if price is None else 2 * price,
        released_year=None,
        unit="%",
        decimals=1,
        why=None,
    )


def association(factor: str, effect: float | None) -> AssociationRow:
    return AssociationRow(
        protocol="carpet",
        version=1,
        factor=factor,
        machines=3,
        makers=1,
        left_out=0,
        groups=2,
        groups_small=2,
        groups_of_one_maker=2,
        effect_name="eta squared",
        effect=effect,
        effect_low=None if effect is None else 0.0,
        effect_high=None if effect is None else 0.9,
        p=None,
        p_fdr=None,
        relation="cannot tell",
        raw_effect=None,
        raw_p=None,
        differs_from_raw=False,
        warning=None,
        why=None,
    )


def drawn(*machines: MachineValueRow) -> Strips:
    view = view_of(ENTRIES)
    view.store.write_records("machine_values", MachineValueRow, machines)
    factors = [association("kind", 0.5), association("price-band", None)]
    view.store.write_records("associations", AssociationRow, factors)
    return draw_charts(view).factors["carpet", 1]


def test_every_machine_is_a_circle_in_the_row_of_its_group_in_every_panel() -> None:
    kinds, prices = drawn(
        machine("one", 94.0, "stick", 100),
        machine("two", 90.0, "robot", 1000),
        machine("three", 80.0, "robot", 200),
    ).strips

    assert [len(line.dots) for line in kinds.lines] == [2, 1]
    assert [line.label for line in kinds.lines] == ["robot (2)", "stick (1)"]
    assert [dot.reading.partition(":")[0] for line in prices.lines for dot in line.dots] == [
        "Ostrel One",
        "Ostrel Three",
        "Ostrel Two",  # by price, not by its letters
    ]


def test_a_panel_tells_the_effect_and_a_row_its_number_and_median() -> None:
    (strip, *_) = drawn(
        machine("one", 94.0, "robot", None), machine("two", 90.0, "robot", None)
    ).strips

    (line,) = strip.lines
    assert (strip.title, strip.under) == (
        "Kind of machine",
        "eta squared 0.50 (0.00 to 0.90), 3 machines",
    )
    assert line.label == "robot (2)"
    # From 89.8 to 94.2 (5 % of air) 92, the median of 94 and 90, is in the middle.
    assert line.mean == "M500 19v16"


def test_a_circle_names_its_machine_its_value_and_its_group() -> None:
    chart = drawn(machine("one", 94.0, "robot", 100), machine("two", None, "robot", 100))

    readings = {dot.reading for strip in chart.strips for line in strip.lines for dot in line.dots}
    assert readings == {
        "Ostrel One: 94.0\N{NO-BREAK SPACE}%; robot",
        "Ostrel One: 94.0\N{NO-BREAK SPACE}%; 100 to 200",
    }
