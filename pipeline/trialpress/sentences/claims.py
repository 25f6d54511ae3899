"""Sentences on claims, one by one, and all of one quantity.

In:  rows of ``claim_checks`` and ``air_powers``.
Out: text, one sentence a claim and a few a quantity. What was stated is repeated as stated; a
     verdict speaks of the specimen measured.
"""

from __future__ import annotations

from collections.abc import Sequence

from trialpress.analyses.records import AirPowerRow, ClaimCheckRow
from trialpress.sentences.names import Names
from trialpress.words.figures import (
    count,
    day,
    interval,
    number,
    percent,
    signed,
    three_digits,
    typed_number,
    with_unit,
)

VERDICTS = {
    "kept": "the specimen measured keeps the claim",
    "not kept": "the specimen measured does not keep the claim",
}
CANNOT_TELL = "cannot tell whether the claim is kept"


def claim_check(row: ClaimCheckRow, names: Names) -> str:
    """One claim, and what was measured."""
    start = f"{_stated(row, names)} ({row.source}, {day(row.stated_on)})"
    if row.measured is None or row.difference is None or row.setup is None:
        return f"{start}; not held against a measurement, as {row.why}."
    digits, key = row.decimals or 0, (row.protocol or "", row.version or 0)
    unit = names.series[key].unit
    mean = with_unit(number(row.measured, digits), unit)
    measured, setup = f"measured {mean}", names.setups[row.setup].label
    runs = count(row.n or 0, "run", "runs")
    if row.difference_low is None or row.difference_high is None:
        return f"{start}; {measured} ({setup}, {runs}, no interval): {CANNOT_TELL}."
    ends = interval(row.difference_low, row.difference_high, digits)
    apart = f"{signed(row.difference, digits)}, {percent(names.confidence)} interval {ends}, {runs}"
    told = VERDICTS.get(row.verdict or "", CANNOT_TELL)
    return f"{start}; {measured} ({setup}; difference {apart}): {told}."


def tally(rows: Sequence[ClaimCheckRow], quantity: str) -> str:
    """How many claims of one quantity there are, and how many of them are kept."""
    claims = len({row.claim for row in rows})
    machines = count(len({row.machine for row in rows}), "machine", "machines")
    name = quantity.replace("-", " ")
    start = f"{count(claims, 'claim', 'claims')} of {name}, by {machines}."
    verdicts = [row.verdict for row in rows if row.verdict is not None]
    if not verdicts:
        return f"{start} None is held against a measurement."
    kept, not_kept = verdicts.count("kept"), verdicts.count("not kept")
    times = count(len(verdicts), "time", "times")
    return (
        f"{start} Held against a measurement {times}: {kept} kept, {not_kept} not kept, "
        f"{len(verdicts) - kept - not_kept} where that cannot be told."
    )


def _stated(row: ClaimCheckRow, names: Names) -> str:
    """The claim as stated, with the figure in the common unit where that is another."""
    stated = with_unit(typed_number(row.stated_value), row.stated_unit)
    if row.value is not None and row.unit not in {None, row.stated_unit}:
        stated = f"{stated}, that is {with_unit(three_digits(row.value), row.unit or '')}"
    return f"{names.machines[row.machine]} claims {row.quantity.replace('-', ' ')} {stated}"


def air_power(row: AirPowerRow, names: Names) -> str:
    """What a stated pressure and flow make together, and what they do not."""
    pressure = with_unit(three_digits(row.pressure_kpa), "kPa")
    flow = with_unit(three_digits(row.flow_l_per_s), "L/s")
    product = with_unit(three_digits(row.ceiling_w), "W")
    start = f"{names.machines[row.machine]} states {pressure} and {flow}"
    source = f"({row.source}, {day(row.stated_on)})"
    if row.air_power_w is not None:
        return f"{start} at one operating point {source}: an air power of {product} as stated."
    return f"{start} {source}; their product, {product}, is no air power, as {row.why}."
