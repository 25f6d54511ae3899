"""Sentences on what goes with good results.

In:  rows of ``associations`` and ``claim_associations``.
Out: text. That one goes with the other is said only where the row's relation says it; causes never.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from trialpress.analyses.records import AssociationRow, ClaimAssociationRow
from trialpress.view.names import Names
from trialpress.view.sentences.groups import beware, corrected
from trialpress.view.terms import term, warning_words, why_words
from trialpress.words import say, say_count
from trialpress.words.figures import count, interval, listing, number, percent

SHARE_DECIMALS = 2
GOES_WITH = "goes with"


def association(row: AssociationRow, names: Names) -> str:
    """Whether one factor goes with the results of one series."""
    over = _machines(row)
    if row.groups is not None:
        groups = count(row.groups, "group", "groups")
        over = say("{machines} in {groups}", machines=over, groups=groups)
    found = _Association(
        subject=say("the {factor}", factor=term("factor", row.factor)),
        title=names.title((row.protocol, row.version)),
        over=over,
        effect=_Effect(row.effect_name, row.effect, row.effect_low, row.effect_high, row.p_fdr),
        is_within_kinds=row.factor != "kind",
        goes_with=row.relation == GOES_WITH,
        why=why_words(row.why),
    )
    warning = warning_words(
        row.warning,
        groups=row.groups,
        groups_small=row.groups_small,
        groups_of_one_maker=row.groups_of_one_maker,
    )
    raw = _over_all(row.effect_name, row.raw_effect) if row.differs_from_raw else ""
    return f"{_goes_with(found, names)}{raw}{_left_out(row.left_out)}{beware(warning)}"


def claim_association(row: ClaimAssociationRow, names: Names) -> str:
    """Whether a stated figure goes with the results of one series."""
    found = _Association(
        subject=say("the {quantity} stated", quantity=row.quantity.replace("-", " ")),
        title=names.title((row.protocol, row.version)),
        over=_machines(row),
        effect=_Effect("rho", row.rho, row.rho_low, row.rho_high, row.p_fdr),
        is_within_kinds=True,
        goes_with=row.relation == GOES_WITH,
        why=why_words(row.why),
    )
    raw = _over_all("rho", row.raw_rho) if row.differs_from_raw else ""
    return f"{_goes_with(found, names)}{raw}{beware(warning_words(row.warning))}"


def factors_plainly(rows: Sequence[AssociationRow]) -> tuple[str, ...]:
    """Which factors go with the results of one series, and of which that cannot be told."""
    goes = [term("factor", row.factor) for row in rows if row.relation == GOES_WITH]
    open_ = [term("factor", row.factor) for row in rows if row.relation != GOES_WITH]
    sentences = []
    if goes:
        sentences.append(
            say_count(
                "Shown to go with these results: {factors}. That does not make it the cause.",
                "Shown to go with these results: {factors}. That makes none of them the cause.",
                len(goes),
                factors=listing(goes),
            )
        )
    if open_:
        sentences.append(say("The runs cannot tell it of {factors}.", factors=listing(open_, "or")))
    return tuple(sentences)


def factors_finding(rows: Sequence[AssociationRow]) -> str:
    """Which factors go with the results of one series, as a heading."""
    goes = [term("factor", row.factor) for row in rows if row.relation == GOES_WITH]
    if not goes:
        return say("Nothing asked here is shown to go with these results")
    found = say_count(
        "{factors} is shown to go with these results",
        "{factors} are shown to go with these results",
        len(goes),
        factors=listing(goes),
    )
    return found[0].upper() + found[1:]


def stated_finding(rows: Sequence[ClaimAssociationRow]) -> str:
    """On how many protocols a stated quantity goes with the results, as a heading."""
    quantity = rows[0].quantity.replace("-", " ")
    goes = len({(row.protocol, row.version) for row in rows if row.relation == GOES_WITH})
    protocols = len({(row.protocol, row.version) for row in rows})
    if not goes:
        return say_count(
            "On {count} protocol a big figure for {quantity} is not shown to go with the results",
            "On none of {count} protocols is a big figure for {quantity} shown to go with the "
            "results",
            protocols,
            quantity=quantity,
        )
    return say_count(
        "On {goes} of {count} protocol a big figure for {quantity} is shown to go with the results",
        "On {goes} of {count} protocols a big figure for {quantity} is shown to go with the "
        "results",
        protocols,
        goes=goes,
        quantity=quantity,
    )


def stated_plainly(rows: Sequence[ClaimAssociationRow], names: Names) -> tuple[str, ...]:
    """With the results of which series one stated quantity goes, and of which one cannot tell."""
    if not rows:
        return ()
    quantity = rows[0].quantity.replace("-", " ")
    titles = {row: names.title((row.protocol, row.version)) for row in rows}
    goes = [title for row, title in titles.items() if row.relation == GOES_WITH]
    open_ = [title for row, title in titles.items() if row.relation != GOES_WITH]
    sentences = []
    if goes:
        sentences.append(
            say(
                "A big figure for {quantity} is shown to go with the results on {titles}, up or "
                "down as below. That does not make it the cause.",
                quantity=quantity,
                titles=listing(list(dict.fromkeys(goes))),
            )
        )
    if open_:
        sentences.append(
            say(
                "Whether a big figure for {quantity} goes with the results cannot be told on "
                "{titles}.",
                quantity=quantity,
                titles=listing(list(dict.fromkeys(open_)), "or"),
            )
        )
    return tuple(sentences)


def _machines(row: AssociationRow | ClaimAssociationRow) -> str:
    return say(
        "{machines} of {makers}",
        machines=count(row.machines, "machine", "machines"),
        makers=count(row.makers, "maker", "makers"),
    )


def _over_all(name: str, raw: float | None) -> str:
    """What all kinds together seem to say, where it is something else."""
    if raw is None:
        return ""
    effect = f"{term('effect_name', name)} {number(raw, SHARE_DECIMALS)}"
    return " " + say(
        "Over all kinds together the effect is {effect}; kinds differ in both, so that this tells "
        "nothing of it.",
        effect=effect,
    )


@dataclass(frozen=True)
class _Effect:
    """An effect size with its interval and corrected p value."""

    name: str
    value: float | None
    low: float | None
    high: float | None
    p_fdr: float | None


@dataclass(frozen=True)
class _Association:
    """What is told of one factor in one series; ``over`` is what it rests on."""

    subject: str
    title: str
    over: str
    effect: _Effect
    is_within_kinds: bool
    goes_with: bool
    why: str


def _goes_with(association: _Association, names: Names) -> str:
    effect = association.effect
    values = {"subject": association.subject, "title": association.title}
    if effect.value is None:
        return say(
            "Whether {subject} goes with the results on {title} cannot be told, as {why}.",
            why=association.why,
            **values,
        )
    values |= {"over": association.over, "basis": _basis(association, effect.value, names)}
    if not association.goes_with:
        return say(
            "Whether {subject} goes with the results on {title} cannot be told from {over} "
            "({basis}).",
            **values,
        )
    return say(
        "{Subject} goes with the results on {title} over {over} ({basis}){direction}. That does "
        "not make it the cause.",
        Subject=association.subject[0].upper() + association.subject[1:],
        direction=_direction(effect),
        **values,
    )


def _basis(association: _Association, value: float, names: Names) -> str:
    effect = association.effect
    ends = say("no interval")
    if effect.low is not None and effect.high is not None:
        ends = say(
            "{confidence} interval {ends}",
            confidence=percent(names.confidence),
            ends=interval(effect.low, effect.high, SHARE_DECIMALS),
        )
    size = f"{term('effect_name', effect.name)} {number(value, SHARE_DECIMALS)}"
    if association.is_within_kinds:
        # For translators: {effect} is a size of effect, such as "rho 0.40".
        size = say("within kinds {effect}", effect=size)
    return ", ".join((size, ends, corrected(effect.p_fdr)))


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
