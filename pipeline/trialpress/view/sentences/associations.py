"""Sentences on what goes with good results.

In:  rows of ``associations`` and ``claim_associations``.
Out: text. That one goes with the other is said only where the row's relation says it; causes never.
"""

from __future__ import annotations

from dataclasses import dataclass

from trialpress.analyses.records import AssociationRow, ClaimAssociationRow
from trialpress.view.names import Names
from trialpress.view.sentences.groups import FACTORS, beware, corrected, reason
from trialpress.words import message, say, say_count
from trialpress.words.figures import count, interval, number, percent

EFFECTS = {
    "eta squared": message("eta squared"),
    # For translators: the Greek letter, for Spearman's rank correlation.
    "rho": message("rho"),
}
SHARE_DECIMALS = 2


def association(row: AssociationRow, names: Names) -> str:
    """Whether one factor goes with the results of one series."""
    over = count(row.machines, "machine", "machines")
    if row.groups is not None:
        groups = count(row.groups, "group", "groups")
        over = say("{machines} in {groups}", machines=over, groups=groups)
    told = _Told(
        subject=say("the {factor}", factor=say(FACTORS[row.factor])),
        title=names.title((row.protocol, row.version)),
        over=over,
        effect=_Effect(row.effect_name, row.effect, row.effect_low, row.effect_high, row.p_holm),
        goes_with=row.relation == "goes with",
        why=reason(row.why),
    )
    return f"{_goes_with(told, names)}{_left_out(row.left_out)}{beware(row.warning)}"


def claim_association(row: ClaimAssociationRow, names: Names) -> str:
    """Whether a stated figure goes with the results of one series."""
    told = _Told(
        subject=say("the {quantity} stated", quantity=row.quantity.replace("-", " ")),
        title=names.title((row.protocol, row.version)),
        over=count(row.machines, "machine", "machines"),
        effect=_Effect("rho", row.rho, row.rho_low, row.rho_high, row.p_holm),
        goes_with=row.relation == "goes with",
        why=reason(row.why),
    )
    return f"{_goes_with(told, names)}{beware(row.warning)}"


@dataclass(frozen=True)
class _Effect:
    """An effect size with its interval and corrected p value."""

    name: str
    value: float | None
    low: float | None
    high: float | None
    p_holm: float | None


@dataclass(frozen=True)
class _Told:
    """What is told of one factor in one series; ``over`` is what it rests on."""

    subject: str
    title: str
    over: str
    effect: _Effect
    goes_with: bool
    why: str


def _goes_with(told: _Told, names: Names) -> str:
    subject, title, effect = told.subject, told.title, told.effect
    if effect.value is None:
        return say(
            "Whether {subject} goes with the results on {title} cannot be told: {why}.",
            subject=subject,
            title=title,
            why=told.why,
        )
    basis = _basis(effect, effect.value, names)
    if not told.goes_with:
        return say(
            "Whether {subject} goes with the results on {title} cannot be told from {over} "
            "({basis}).",
            subject=subject,
            title=title,
            over=told.over,
            basis=basis,
        )
    return say(
        "{Subject} goes with the results on {title} over {over} ({basis}){direction}. That does "
        "not make it the cause.",
        Subject=subject[0].upper() + subject[1:],
        title=title,
        over=told.over,
        basis=basis,
        direction=_direction(effect),
    )


def _basis(effect: _Effect, value: float, names: Names) -> str:
    ends = say("no interval")
    if effect.low is not None and effect.high is not None:
        ends = say(
            "{confidence} interval {ends}",
            confidence=percent(names.confidence),
            ends=interval(effect.low, effect.high, SHARE_DECIMALS),
        )
    told = f"{say(EFFECTS[effect.name])} {number(value, SHARE_DECIMALS)}"
    return ", ".join((told, ends, corrected(effect.p_holm)))


def _direction(effect: _Effect) -> str:
    if effect.name != "rho" or effect.value is None:
        return ""
    if effect.value > 0:
        # For translators: this follows "The price goes with the results on ...".
        return say(": the higher it is, the higher the value")
    # For translators: this follows "The price goes with the results on ...".
    return say(": the higher it is, the lower the value")


def _left_out(how_many: int) -> str:
    if not how_many:
        return ""
    return " " + say_count(
        "{count} machine is left out, as nothing is known of it there.",
        "{count} machines are left out, as nothing is known of them there.",
        how_many,
    )
