"""Sentences on claims, one by one, and all of one quantity.

In:  rows of ``claim_checks`` and ``air_powers``.
Out: text, one sentence a claim and a few a quantity. What was stated is repeated as stated; a
     verdict speaks of the specimen measured.
"""

from __future__ import annotations

from collections.abc import Sequence

from trialpress.analyses.records import AirPowerRow, ClaimCheckRow
from trialpress.view.names import Names
from trialpress.words import message, say
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
    "kept": message("the specimen measured keeps the claim"),
    "not kept": message("the specimen measured does not keep the claim"),
}
CANNOT_TELL = message("cannot tell whether the claim is kept")


def claim_check(row: ClaimCheckRow, names: Names) -> str:
    """One claim, and what was measured."""
    claim = say(
        "{machine} claims {quantity} {stated} ({source}, {day})",
        machine=names.machines[row.machine],
        quantity=row.quantity.replace("-", " "),
        stated=_stated(row),
        source=row.source,
        day=day(row.stated_on),
    )
    if row.measured is None or row.difference is None or row.setup is None:
        return say("{claim}; not held against a measurement, as {why}.", claim=claim, why=row.why)
    digits, key = row.decimals or 0, (row.protocol or "", row.version or 0)
    told = {
        "claim": claim,
        "mean": with_unit(number(row.measured, digits), names.series[key].unit),
        "setup": names.setups[row.setup].label,
        "runs": count(row.n or 0, "run", "runs"),
    }
    if row.difference_low is None or row.difference_high is None:
        return say(
            "{claim}; measured {mean} ({setup}, {runs}, no interval): {verdict}.",
            verdict=say(CANNOT_TELL),
            **told,
        )
    return say(
        "{claim}; measured {mean} ({setup}; difference {difference}, {confidence} interval {ends}, "
        "{runs}): {verdict}.",
        difference=signed(row.difference, digits),
        confidence=percent(names.confidence),
        ends=interval(row.difference_low, row.difference_high, digits),
        verdict=say(VERDICTS.get(row.verdict or "", CANNOT_TELL)),
        **told,
    )


def tally(rows: Sequence[ClaimCheckRow], quantity: str) -> str:
    """How many claims of one quantity there are, and how many of them are kept."""
    start = say(
        "{claims} of {quantity}, by {machines}.",
        claims=count(len({row.claim for row in rows}), "claim", "claims"),
        quantity=quantity.replace("-", " "),
        machines=count(len({row.machine for row in rows}), "machine", "machines"),
    )
    verdicts = [row.verdict for row in rows if row.verdict is not None]
    if not verdicts:
        none = say("None is held against a measurement.")
        return f"{start} {none}"
    kept, not_kept = verdicts.count("kept"), verdicts.count("not kept")
    held = say(
        "Held against a measurement {times}: {kept} kept, {not_kept} not kept, {untold} where that "
        "cannot be told.",
        times=count(len(verdicts), "time", "times"),
        kept=kept,
        not_kept=not_kept,
        untold=len(verdicts) - kept - not_kept,
    )
    return f"{start} {held}"


def _stated(row: ClaimCheckRow) -> str:
    """The figure as stated, with that in the common unit where it is another."""
    stated = with_unit(typed_number(row.stated_value), row.stated_unit)
    if row.value is None or row.unit in {None, row.stated_unit}:
        return stated
    converted = with_unit(three_digits(row.value), row.unit or "")
    return say("{stated}, that is {converted}", stated=stated, converted=converted)


def air_power(row: AirPowerRow, names: Names) -> str:
    """What a stated pressure and flow make together, and what they do not."""
    told = {
        "machine": names.machines[row.machine],
        "pressure": with_unit(three_digits(row.pressure_kpa), "kPa"),
        "flow": with_unit(three_digits(row.flow_l_per_s), "L/s"),
        "product": with_unit(three_digits(row.ceiling_w), "W"),
        "source": row.source,
        "day": day(row.stated_on),
    }
    if row.air_power_w is not None:
        return say(
            "{machine} states {pressure} and {flow} at one operating point ({source}, {day}): an "
            "air power of {product} as stated.",
            **told,
        )
    return say(
        "{machine} states {pressure} and {flow} ({source}, {day}); their product, {product}, is no "
        "air power, as {why}.",
        why=row.why,
        **told,
    )
