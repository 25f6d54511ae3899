"""Sentences on claims, one by one, and all of one quantity.

In:  rows of ``claim_checks`` and ``air_powers``.
Out: text, one sentence a claim and a few a quantity. What was stated is repeated as stated; a
     verdict speaks of the specimen measured.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from trialpress.analyses.codes import ClaimVerdict, HeldAgainst
from trialpress.analyses.records import AirPowerRow, ClaimCheckRow
from trialpress.view.names import Names
from trialpress.view.sentences.groups import corrected
from trialpress.view.terms import why_words
from trialpress.words import message, say, say_count
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

VERDICTS: Mapping[str | None, str] = {
    ClaimVerdict.KEPT: message("the specimen measured keeps the claim"),
    ClaimVerdict.NOT_KEPT: message("the specimen measured does not keep the claim"),
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
        return say(
            "{claim}; not held against a measurement, as {why}.",
            claim=claim,
            why=why_words(row.why),
        )
    digits, key = row.decimals or 0, (row.protocol or "", row.version or 0)
    values = {
        "claim": claim,
        "mean": with_unit(number(row.measured, digits), names.series[key].unit),
        "setup": _setup(row, names),
        "runs": count(row.n or 0, "run", "runs"),
    }
    if row.difference_low is None or row.difference_high is None:
        return say(
            "{claim}; measured {mean} ({setup}, {runs}, no interval): {verdict}.",
            verdict=say(CANNOT_TELL),
            **values,
        )
    return say(
        "{claim}; measured {mean} ({setup}; difference {difference}, {confidence} interval {ends}, "
        "{p}, {runs}): {verdict}.",
        difference=_difference(row, names.series[key].unit),
        confidence=percent(names.confidence),
        ends=interval(row.difference_low, row.difference_high, digits),
        p=corrected(row.p_holm),
        verdict=verdict_words(row.verdict),
        **values,
    )


def _setup(row: ClaimCheckRow, names: Names) -> str:
    """The set-up a claim is held against; that it was picked, where it was one of several."""
    label, picked = names.setups[row.setup or ""].label, picked_words(row)
    return f"{label}, {picked}" if picked else label


def picked_words(row: ClaimCheckRow) -> str:
    """That a claim is held against the most favourable of several set-ups; blank otherwise."""
    if row.held_against != HeldAgainst.MOST_FAVOURABLE:
        return ""
    # For translators: after the name of a set-up.
    return say(
        "the most favourable of {candidates}",
        candidates=count(row.candidates or 1, "set-up as unboxed", "set-ups as unboxed"),
    )


def _difference(row: ClaimCheckRow, unit: str) -> str:
    """Measured less claimed; where a tolerance is granted, less what would still do."""
    difference = signed(row.difference or 0.0, row.decimals or 0)
    if not row.tolerance_pct:
        return difference
    bound = with_unit(three_digits(row.bound or 0.0), unit)
    return say("{difference} from the {bound} that would do", difference=difference, bound=bound)


def verdict_words(verdict: str | None) -> str:
    """Whether the specimen measured keeps a claim, in a clause."""
    return say(VERDICTS.get(verdict, CANNOT_TELL))


def tally(rows: Sequence[ClaimCheckRow], quantity: str) -> str:
    """How many claims of one quantity there are, and how many of them are kept."""
    start = say(
        "{claims} of {quantity}, by {machines}.",
        claims=count(len(rows), "claim", "claims"),
        quantity=quantity.replace("-", " "),
        machines=count(len({row.machine for row in rows}), "machine", "machines"),
    )
    verdicts = [row.verdict for row in rows if row.verdict is not None]
    if not verdicts:
        none = say("None is held against a measurement.")
        return f"{start} {none}"
    kept, not_kept = verdicts.count(ClaimVerdict.KEPT), verdicts.count(ClaimVerdict.NOT_KEPT)
    held = say_count(
        "{count} of them is held against a measurement: {kept} kept, {not_kept} not kept, {untold} "
        "where that cannot be told.",
        "{count} of them are held against a measurement: {kept} kept, {not_kept} not kept, "
        "{untold} where that cannot be told.",
        len(verdicts),
        kept=kept,
        not_kept=not_kept,
        untold=len(verdicts) - kept - not_kept,
    )
    return f"{start} {held}"


def claims_story(rows: Sequence[ClaimCheckRow]) -> str:
    """Of all claims, how many the bench can look at, and how many of those are kept."""
    verdicts = [row.verdict for row in rows if row.verdict is not None]
    claims = count(len(rows), "claim", "claims")
    if not verdicts:
        return say("Of {claims} none is held against a measurement.", claims=claims)
    kept, not_kept = verdicts.count(ClaimVerdict.KEPT), verdicts.count(ClaimVerdict.NOT_KEPT)
    return say(
        "Of {claims} {held} could be held against a measurement: {kept} kept, {not_kept} not kept "
        "by the specimen measured, {untold} where the runs cannot tell.",
        claims=claims,
        held=len(verdicts),
        kept=kept,
        not_kept=not_kept,
        untold=len(verdicts) - kept - not_kept,
    )


def claims_finding(rows: Sequence[ClaimCheckRow]) -> str:
    """What came of the claims of one quantity, as a heading."""
    verdicts = [row.verdict for row in rows if row.verdict is not None]
    if not verdicts:
        return say_count(
            "{count} claim, not measured here", "{count} claims, none measured here", len(rows)
        )
    kept, not_kept = verdicts.count(ClaimVerdict.KEPT), verdicts.count(ClaimVerdict.NOT_KEPT)
    return say_count(
        "Of {count} claim measured here {kept} kept, {not_kept} not kept, {untold} not told",
        "Of {count} claims measured here {kept} kept, {not_kept} not kept, {untold} not told",
        len(verdicts),
        kept=kept,
        not_kept=not_kept,
        untold=len(verdicts) - kept - not_kept,
    )


MOST_NAMED = 6


def decided_by_name(rows: Sequence[ClaimCheckRow], names: Names) -> tuple[str, ...]:
    """Whose claims are kept and whose are not, where those are few enough to be named."""
    sentences = []
    for verdict, sentence in (
        (ClaimVerdict.KEPT, message("Kept by the specimen measured: {machines}.")),
        (ClaimVerdict.NOT_KEPT, message("Not kept by the specimen measured: {machines}.")),
    ):
        machines = dict.fromkeys(
            names.machines[row.machine] for row in rows if row.verdict == verdict
        )
        if 0 < len(machines) <= MOST_NAMED:
            sentences.append(say(sentence, machines="; ".join(machines)))
    return tuple(sentences)


def _stated(row: ClaimCheckRow) -> str:
    """The figure as stated, with that in the common unit where it is another, and its tolerance."""
    stated = with_unit(typed_number(row.stated_value), row.stated_unit)
    if row.value is not None and row.unit not in {None, row.stated_unit}:
        converted = with_unit(three_digits(row.value), row.unit or "")
        stated = say("{stated}, that is {converted}", stated=stated, converted=converted)
    return within_tolerance(stated, row)


def within_tolerance(stated: str, row: ClaimCheckRow) -> str:
    """A figure of a spec sheet, and by how much it may be out where that is said."""
    if not row.tolerance_pct:
        return stated
    tolerance = with_unit(typed_number(row.tolerance_pct), "%")
    # For translators: a figure of a spec sheet, and by how much it may be out.
    return say("{stated} within {tolerance}", stated=stated, tolerance=tolerance)


def air_power(row: AirPowerRow, names: Names) -> str:
    """What a stated pressure and flow make together, and what they do not."""
    values = {
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
            **values,
        )
    return say(
        "{machine} states {pressure} and {flow} ({source}, {day}); their product, {product}, is no "
        "air power, as {why}.",
        why=why_words(row.why),
        **values,
    )
