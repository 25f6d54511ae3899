"""Whether big figures on the box go with good results.

In:  claims, and one value a machine and series.
Out: ``ClaimAssociationRow`` and ``AirPowerRow`` records. As in ``associations``, machines are
     compared with those of their own kind, and p values are those of each look.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np

from trialpress.analyses.claims import StatedClaim, significant
from trialpress.analyses.codes import Beware, Together, Why
from trialpress.analyses.effects import FEWEST_PAIRS, Effect, differs_from_raw, ordered_effect
from trialpress.analyses.family import published_p
from trialpress.analyses.machines import MachineValue, compared_of, only_one
from trialpress.analyses.records import AirPowerRow, ClaimAssociationRow
from trialpress.analyses.sign_flips import FEWEST_MAKERS
from trialpress.store import grouped

PRESSURE, FLOW = "suction", "airflow"
JOINT = "-at-"


def claim_associations(
    claims: Sequence[StatedClaim], machines: Sequence[MachineValue], confidence: float
) -> list[ClaimAssociationRow]:
    """Every stated quantity against one series; of several figures the one of the machine."""
    stated: dict[tuple[str, str], dict[str, float]] = {}
    for claim in claims:
        measure = claim.measure()
        if measure is not None and claim.is_of_machine:
            stated.setdefault((claim.quantity, measure.unit), {})[claim.machine] = measure.value
    return [
        _association(quantity, unit, stated[quantity, unit], machines, confidence)
        for quantity, unit in sorted(stated)
    ]


def _association(
    quantity: str,
    unit: str,
    stated: Mapping[str, float],
    machines: Sequence[MachineValue],
    confidence: float,
) -> ClaimAssociationRow:
    both = [row for row in machines if row.machine in stated]
    makers = len({row.maker for row in both})
    row = ClaimAssociationRow(
        quantity=quantity,
        unit=unit,
        protocol=machines[0].protocol,
        version=machines[0].version,
        machines=len(both),
        makers=makers,
        rho=None,
        rho_low=None,
        rho_high=None,
        p=None,
        p_fdr=None,
        relation=Together.CANNOT_TELL,
        raw_rho=None,
        raw_p=None,
        differs_from_raw=False,
        warning=Beware.FEW_MAKERS if 0 < makers < FEWEST_MAKERS else None,
        why=None,
    )
    if len(both) < FEWEST_PAIRS:
        return replace(row, why=Why.TOO_FEW_MACHINES)
    figures = np.array([stated[measured.machine] for measured in both])
    if len({measured.value for measured in both}) == 1 or np.ptp(figures) == 0:
        return replace(row, why=Why.ALL_ALIKE)
    return _with_rho(row, figures, both, confidence)


def _with_rho(
    row: ClaimAssociationRow,
    figures: np.typing.NDArray[np.float64],
    both: Sequence[MachineValue],
    confidence: float,
) -> ClaimAssociationRow:
    within = compared_of(both)
    found = ordered_effect(figures, within, confidence)
    raw = None
    if not only_one([measured.kind for measured in both]):
        raw = ordered_effect(figures, within.in_one_stratum(), confidence)
    if isinstance(raw, Effect):
        row = replace(row, raw_rho=raw.size.value, raw_p=published_p(raw.p))
    row = replace(row, differs_from_raw=differs_from_raw(found, raw, confidence))
    if not isinstance(found, Effect):
        return replace(row, why=found)
    return replace(
        row,
        rho=found.size.value,
        rho_low=found.size.low,
        rho_high=found.size.high,
        p=found.p,
        relation=found.relation,
        why=found.why,
    )


def air_powers(claims: Sequence[StatedClaim]) -> list[AirPowerRow]:
    """Pressure and flow that were stated together: by one source, on one day, for one machine.

    Notes
    -----
    Air power is the pressure times the flow **at one operating point**. Quantities named
    ``suction-at-x`` and ``airflow-at-x`` say that they belong to the same point x; bare ``suction``
    and ``airflow`` are taken as two maxima, whose product is a ceiling that is never reached: for a
    straight characteristic the greatest air power is a quarter of it. It is not worked out here.
    """
    flows = grouped((claim for claim in claims if _is_of(claim, FLOW)), _stated_together)
    rows = [
        row
        for pressure in claims
        if _is_of(pressure, PRESSURE)
        for flow in flows.get(_stated_together(pressure), ())
        for row in _air_power(pressure, flow)
    ]
    return sorted(rows, key=lambda row: (row.machine, row.operating_point or "", row.stated_on))


def _is_of(claim: StatedClaim, quantity: str) -> bool:
    return claim.quantity.partition(JOINT)[0] == quantity


def _stated_together(claim: StatedClaim) -> tuple[object, ...]:
    """What a pressure and a flow have in common that belong to each other."""
    point = claim.quantity.partition(JOINT)[2]
    return point, claim.machine, claim.source, claim.stated_on


def _air_power(pressure: StatedClaim, flow: StatedClaim) -> Iterator[AirPowerRow]:
    pressed, moved = pressure.measure(), flow.measure()
    if (
        pressed is None
        or moved is None
        or (pressed.dimension, moved.dimension) != ("pressure", "flow")
    ):
        return
    point = pressure.quantity.partition(JOINT)[2] or None
    watts = significant(pressed.value * moved.value)  # kPa times L/s is W
    yield AirPowerRow(
        machine=pressure.machine,
        operating_point=point,
        source=pressure.source,
        stated_on=pressure.stated_on,
        pressure_kpa=pressed.value,
        flow_l_per_s=moved.value,
        ceiling_w=watts,
        air_power_w=watts if point else None,
        why=None if point else Why.TWO_MAXIMA,
    )
