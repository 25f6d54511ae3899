"""What goes with good results, as a circle a machine."""

from __future__ import annotations

from typing import Any

from charts.hand_filled import Entry, view_of
from trialpress.analyses.records import AssociationRow, MachineValueRow
from trialpress.charts import Chart, draw_charts

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


def drawn(*machines: MachineValueRow) -> Chart:
    view = view_of(ENTRIES)
    view.store.write_records("machine_values", MachineValueRow, machines)
    factors = [association("kind", 0.5), association("price-band", None)]
    view.store.write_records("associations", AssociationRow, factors)
    return draw_charts(view).factors["carpet", 1]


def rows_of(chart: Chart) -> list[dict[str, Any]]:
    data: Any = chart.vega["data"]
    (rows,) = [part["values"] for part in data if part["name"] == "rows"]
    return list(rows)


def test_every_machine_is_a_circle_in_the_row_of_its_group_in_every_panel() -> None:
    rows = rows_of(
        drawn(
            machine("one", 94.0, "stick", 100),
            machine("two", 90.0, "robot", 1000),
            machine("three", 80.0, "robot", 200),
        )
    )

    circles = [
        (row["heading_position"], row["row"], row["setup"]) for row in rows if row["kind"] == "run"
    ]
    assert circles == [
        (0, "robot", "ostrel-three"),
        (0, "robot", "ostrel-two"),
        (0, "stick", "ostrel-one"),
        (1, "100-200", "ostrel-one"),
        (1, "200-400", "ostrel-three"),
        (1, "1000-2000", "ostrel-two"),  # by price, not by its letters
    ]


def test_a_panel_tells_the_effect_and_a_row_its_number_and_median() -> None:
    rows = rows_of(drawn(machine("one", 94.0, "robot", None), machine("two", 90.0, "robot", None)))

    (label,) = [row for row in rows if row["kind"] == "label"]
    (middle,) = [row for row in rows if row["kind"] == "mean"]
    assert label["heading"] == "Kind of machine\neta squared 0.50 (0.00 to 0.90), 3 machines"
    assert label["label"] == "robot (2)"
    assert middle["value"] == 92.0  # between 94 and 90


def test_a_circle_names_its_machine_its_value_and_its_group() -> None:
    rows = rows_of(drawn(machine("one", 94.0, "robot", 100), machine("two", None, "robot", 100)))

    readings = {row["reading"] for row in rows if row["kind"] == "run"}
    assert readings == {
        "Ostrel One: 94.0\N{NO-BREAK SPACE}%; robot",
        "Ostrel One: 94.0\N{NO-BREAK SPACE}%; 100 to 200",
    }
