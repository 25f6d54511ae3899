"""How often something is told to go with results of machines that have nothing to do with it.

In:  the machines of the demo bench, their results replaced by chance.
Out: figures for the audit.

A maker's machines share a part of the variance, kinds differ, and nothing else goes with anything.
One simulated site has eight series, with every factor and stated figure looked at on each.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

import numpy as np

from trialpress.analyses.associations import associations
from trialpress.analyses.claims import StatedClaim, read_claims
from trialpress.analyses.machines import MachineValue, numbered, read_machine_values
from trialpress.analyses.records import AssociationGroupRow, AssociationRow
from trialpress.analyses.working import looks_at
from trialpress.bench import Bench
from trialpress.intake import read_bench
from trialpress.measure import measure_runs
from trialpress.results import work_out
from trialpress.store import build_store
from trialpress.store.models import run_models

ROOT = Path(__file__).parents[2]
AS_OF = date(2099, 1, 1)
SEED = 20310310
SERIES = 8
SHARES = (0.0, 0.5, 0.8)
CONFIDENCE = 0.95
KINDS_APART = 3.0
"""Steps from kind to kind, in standard deviations of machines of one kind."""


@dataclass(frozen=True)
class Errors:
    """Shares of simulations, in percent.

    ``site`` is how many sites tell anything at all, ``looks`` and ``groups`` how many single looks
    have p below 0.05, ``held`` how many intervals hold the nothing that is there, ``power`` how
    many sites tell the price where it moves results within kinds by one standard deviation from
    end to middle.
    """

    site: float
    looks: float
    groups: float
    held: float
    power: float


def read_machines() -> tuple[list[MachineValue], list[StatedClaim]]:
    """The machines of the demo's largest series, and the claims."""
    store = build_store(read_bench(Bench(ROOT), AS_OF), AS_OF)
    with closing(store.connection):
        measure_runs(store)
        work_out(store)
        run_models(store.connection, "trialpress.analyses", "models")
        return max(read_machine_values(store).values(), key=len), read_claims(store)


def simulate(
    machines: Sequence[MachineValue], claims: Sequence[StatedClaim], share: float, times: int
) -> Errors:
    """Simulate sites; ``share`` is the part of the variance that a maker's machines share."""
    draws = np.random.default_rng(SEED)
    site, power = 0, 0
    looks: list[AssociationRow | AssociationGroupRow] = []
    for _ in range(times):
        series = [_by_chance(machines, share, draws, str(i)) for i in range(SERIES)]
        site += any(
            row.relation != "cannot tell"
            for rows in looks_at(series, claims, CONFIDENCE)
            for row in rows
        )
        factors, groups = associations(series[0], CONFIDENCE)
        looks += [*factors, *groups]
        told, _, _ = looks_at([_with_price(one) for one in series], claims, CONFIDENCE)
        power += sum(row.factor == "price" and row.relation == "goes with" for row in told)
    return Errors(
        site=100 * site / times,
        looks=_share(p < 0.05 for p in _p_of(looks, AssociationRow)),
        groups=_share(p < 0.05 for p in _p_of(looks, AssociationGroupRow)),
        held=_share(_holds_nothing(row) for row in looks if _has_interval(row)),
        power=100 * power / times / SERIES,
    )


def _p_of(
    looks: Sequence[AssociationRow | AssociationGroupRow],
    kind: type[AssociationRow | AssociationGroupRow],
) -> list[float]:
    return [row.p for row in looks if isinstance(row, kind) and row.p is not None]


def _share(seen: Iterator[bool]) -> float:
    return 100 * float(np.mean(list(seen)))


def _ends(row: AssociationRow | AssociationGroupRow) -> tuple[float | None, float | None]:
    if isinstance(row, AssociationRow):
        return row.effect_low, row.effect_high
    return row.shift_low, row.shift_high


def _has_interval(row: AssociationRow | AssociationGroupRow) -> bool:
    return None not in _ends(row) and row.factor != "kind"


def _holds_nothing(row: AssociationRow | AssociationGroupRow) -> bool:
    low, high = _ends(row)
    return low is not None and high is not None and low <= 0 <= high


def _by_chance(
    machines: Sequence[MachineValue], share: float, draws: np.random.Generator, name: str
) -> list[MachineValue]:
    """Results that nothing goes with but kinds, which are told apart within their own look only."""
    makers = numbered([row.maker for row in machines])
    of_maker = draws.normal(size=makers.max() + 1)[makers]
    values = math.sqrt(share) * of_maker + math.sqrt(1 - share) * draws.normal(size=len(machines))
    return [
        replace(row, protocol=name, value=float(value), decimals=6)
        for row, value in zip(machines, values, strict=True)
    ]


def _with_price(machines: Sequence[MachineValue]) -> list[MachineValue]:
    """The same, moved by the price within kinds, and by kinds."""
    kinds = numbered([row.kind for row in machines])
    prices: Mapping[str, list[float]] = {
        kind: sorted(row.price for row in machines if row.kind == kind and row.price is not None)
        for kind in {row.kind for row in machines}
    }
    return [
        replace(row, value=row.value + KINDS_APART * int(kind) + _moved(row, prices[row.kind]))
        for row, kind in zip(machines, kinds, strict=True)
    ]


def _moved(row: MachineValue, prices: Sequence[float]) -> float:
    if row.price is None or len(prices) == 1:
        return 0.0
    return 2 * prices.index(row.price) / (len(prices) - 1) - 1


def twice(
    machines: Sequence[MachineValue], claims: Sequence[StatedClaim]
) -> tuple[list[MachineValue], list[StatedClaim]]:
    """Every maker twice, with the same machines and claims under other names."""
    again = [replace(row, machine=f"{row.machine}-b", maker=f"{row.maker}-b") for row in machines]
    claimed = [replace(row, claim=f"{row.claim}-b", machine=f"{row.machine}-b") for row in claims]
    return [*machines, *again], [*claims, *claimed]


def study(times: int) -> Iterator[tuple[str, str]]:
    """What is looked at, and how often it errs."""
    machines, claims = read_machines()
    for share in SHARES:
        yield from _lines(machines, claims, share, times)
    yield from _lines(*twice(machines, claims), SHARES[1], times)


def _lines(
    machines: Sequence[MachineValue], claims: Sequence[StatedClaim], share: float, times: int
) -> Iterator[tuple[str, str]]:
    found = simulate(machines, claims, share, times)
    makers = len({row.maker for row in machines})
    error = 100 * math.sqrt(0.05 * 0.95 / times)
    what = f"{makers} makers that share {share:.1f} of the variance"
    yield f"{what}: sites that tell anything by chance", f"{found.site:.1f} ± {error:.1f} %"
    yield f"{what}: factors with p under 0.05", f"{found.looks:.1f} %"
    yield f"{what}: groups with p under 0.05", f"{found.groups:.1f} %"
    yield f"{what}: intervals within kinds that hold 0", f"{found.held:.1f} %"
    yield f"{what}: series that tell a price that counts", f"{found.power:.0f} %"
