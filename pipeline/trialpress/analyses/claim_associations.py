"""Whether big figures on the box go with good results.

In:  claims, and one value a machine and series.
Out: ``ClaimAssociationRow`` and ``AirPowerRow`` records. All quantities of a series are looked at
     together (Holm).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import product

import numpy as np

from trialpress.analyses.associations import corrected, goes_with
from trialpress.analyses.claims import Claim, significant
from trialpress.analyses.machines import SHARE_DECIMALS, MachineValue, published_p, rounded
from trialpress.analyses.ranks import FEWEST_PAIRS, spearman
from trialpress.analyses.records import AirPowerRow, ClaimAssociationRow
from trialpress.words import message, say

PRESSURE, FLOW = "suction", "airflow"
JOINT = "-at-"
TWO_MAXIMA = message(
    "suction and airflow are separate greatest figures: suction is stated with the opening closed, "
    "airflow with it open, and no machine gives both at once"
)


def claim_associations(
    claims: Sequence[Claim], machines: Sequence[MachineValue], confidence: float
) -> list[ClaimAssociationRow]:
    """Every stated quantity against one series; of several figures the newest counts."""
    stated: dict[tuple[str, str], dict[str, float]] = {}
    for claim in claims:
        told = claim.measure()
        if told is not None and claim.is_newest:
            stated.setdefault((claim.quantity, told.unit), {})[claim.machine] = told.value
    rows = [
        _association(quantity, unit, stated[quantity, unit], machines, confidence)
        for quantity, unit in sorted(stated)
    ]
    return [
        replace(
            row,
            p=published_p(row.p),
            p_holm=published_p(p_holm),
            relation=goes_with(p_holm, confidence),
        )
        for row, p_holm in zip(rows, corrected([row.p for row in rows]), strict=True)
    ]


def _association(
    quantity: str,
    unit: str,
    stated: Mapping[str, float],
    machines: Sequence[MachineValue],
    confidence: float,
) -> ClaimAssociationRow:
    both = [row for row in machines if row.machine in stated]
    empty = ClaimAssociationRow(
        quantity=quantity,
        unit=unit,
        protocol=machines[0].protocol,
        version=machines[0].version,
        machines=len(both),
        rho=None,
        rho_low=None,
        rho_high=None,
        p=None,
        p_holm=None,
        relation="cannot tell",
        warning=_warning(both),
        why=None,
    )
    if len(both) < FEWEST_PAIRS:
        too_few = say("fewer than {least} machines have both figures", least=FEWEST_PAIRS)
        return replace(empty, why=too_few)
    figures = np.array([stated[row.machine] for row in both])
    found = spearman(figures, np.array([row.value for row in both]), confidence)
    if found is None:
        return replace(empty, why=say("all machines are alike in one of the two"))
    rho = rounded(found.rho, SHARE_DECIMALS)
    return replace(
        empty,
        rho=rho.value,
        rho_low=rho.low,
        rho_high=rho.high,
        p=found.p,
        why=say("all in one order: no interval") if rho.low is None else None,
    )


def _warning(both: Sequence[MachineValue]) -> str | None:
    kinds = {row.kind for row in both}
    if len(kinds) <= 1:
        return None
    return say("the machines are of several kinds, which may differ in both")


def air_powers(claims: Sequence[Claim]) -> list[AirPowerRow]:
    """Pressure and flow that were stated together: by one source, on one day, for one machine.

    Notes
    -----
    Air power is the pressure times the flow **at one operating point**. Quantities named
    ``suction-at-x`` and ``airflow-at-x`` say that they belong to the same point x; bare ``suction``
    and ``airflow`` are taken as two maxima, whose product is a ceiling that is never reached: for a
    straight characteristic the greatest air power is a quarter of it. It is not worked out here.
    """
    rows = [
        row
        for pressure, flow in product(claims, claims)
        if _belong_together(pressure, flow)
        for row in _air_power(pressure, flow)
    ]
    return sorted(rows, key=lambda row: (row.machine, row.operating_point or "", row.stated_on))


def _belong_together(pressure: Claim, flow: Claim) -> bool:
    what, _, point = pressure.quantity.partition(JOINT)
    other, _, other_point = flow.quantity.partition(JOINT)
    return (what, other, point) == (PRESSURE, FLOW, other_point) and (
        pressure.machine, pressure.source, pressure.stated_on
    ) == (flow.machine, flow.source, flow.stated_on)  # fmt: skip


def _air_power(pressure: Claim, flow: Claim) -> Iterator[AirPowerRow]:
    told, moved = pressure.measure(), flow.measure()
    if told is None or moved is None or (told.dimension, moved.dimension) != ("pressure", "flow"):
        return
    point = pressure.quantity.partition(JOINT)[2] or None
    watts = significant(told.value * moved.value)  # kPa times L/s is W
    yield AirPowerRow(
        machine=pressure.machine,
        operating_point=point,
        source=pressure.source,
        stated_on=pressure.stated_on,
        pressure_kpa=told.value,
        flow_l_per_s=moved.value,
        ceiling_w=watts,
        air_power_w=watts if point else None,
        why=None if point else say(TWO_MAXIMA),
    )
