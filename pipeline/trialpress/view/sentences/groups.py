"""Sentences on makers, and on machines that have something in common.

In:  rows of ``maker_overview``, ``maker_against_field`` and ``association_groups``.
Out: text. Better or worse is said only where the row's relation says it; causes never.
"""

from __future__ import annotations

from collections.abc import Mapping

from trialpress.analyses.machines import group_name
from trialpress.analyses.records import (
    AssociationGroupRow,
    MakerFieldRow,
)
from trialpress.view import terms
from trialpress.view.names import Names
from trialpress.view.results import MakerOverview
from trialpress.words import message, say, say_count
from trialpress.words.figures import (
    count,
    difference_unit,
    interval,
    number,
    p_value,
    percent,
    signed,
    with_unit,
)

FACTORS: Mapping[str, str] = {
    # For translators: the part of a machine that goes over the floor.
    "head": message("head"),
    # For translators: the part of a machine that wipes the floor.
    "mop": message("mop"),
    "kind": message("kind of machine"),
    "price-band": message("price band"),
    "price": message("price"),
    "released-year": message("year of release"),
}


def maker_overview(row: MakerOverview, top_n: int, names: Names) -> str:
    """Best with the number tried, median and worst, and how many are in the top cut."""
    best, middle, worst = (number(v, row.decimals) for v in (row.best, row.median, row.worst))
    told = {
        "maker": names.makers[row.maker],
        "title": names.title((row.protocol, row.version)),
        "inside": row.in_top_cut,
        "all": row.setups,
        "top": top_n,
    }
    if row.setups == 1:
        return say(
            "{maker} on {title}: 1 set-up tried, {value}; {inside} of {all} in the top {top}.",
            value=with_unit(best, row.unit),
            **told,
        )
    return say(
        "{maker} on {title}: {all} set-ups tried: best {best}, median {median}, worst {worst}; "
        "{inside} of {all} in the top {top}.",
        best=best,
        median=middle,
        worst=with_unit(worst, row.unit),
        **told,
    )


def maker_against_field(row: MakerFieldRow, names: Names) -> str:
    """A maker's machines against all others: as machines, and pair by pair."""
    told = say(
        "{maker} on {title}: its {machines} {verdict}.",
        maker=names.makers[row.maker],
        title=names.title((row.protocol, row.version)),
        machines=count(row.machines, "machine", "machines"),
        verdict=_verdict(row, names),
    )
    return f"{told}{_pairs(row)}{beware(row.warning)}"


def association_group(row: AssociationGroupRow, names: Names) -> str:
    """One group of machines against all others."""
    value = with_unit(number(row.median, row.decimals), row.unit)
    if row.machines > 1:
        ends = interval(row.lowest, row.highest, row.decimals)
        value = say("median {value} ({ends})", value=value, ends=ends)
    told = say(
        "On {title}, {factor} {group}: {machines}, {value}, {verdict}.",
        title=names.title((row.protocol, row.version)),
        factor=say(FACTORS[row.factor]),
        group=group_name(row.factor, row.level),
        machines=count(row.machines, "machine", "machines"),
        value=value,
        verdict=_verdict(row, names),
    )
    return f"{told}{beware(row.warning)}"


def _verdict(row: MakerFieldRow | AssociationGroupRow, names: Names) -> str:
    others = _others(row.others)
    if row.shift is None or row.shift_low is None or row.shift_high is None:
        return say("cannot be told from {others}, as {why}", others=others, why=reason(row.why))
    unit, digits = difference_unit(row.unit), row.decimals
    if row.relation == "cannot tell":
        return say(
            "cannot be told from {others} (shift {shift}, {confidence} interval {ends}, {p})",
            others=others,
            shift=with_unit(signed(row.shift, digits), unit),
            confidence=percent(names.confidence),
            ends=interval(row.shift_low, row.shift_high, digits),
            p=corrected(row.p_holm),
        )
    low, high = sorted((abs(row.shift_low), abs(row.shift_high)))
    told = say(
        "by {shift} ({confidence} interval {ends}, {p})",
        shift=with_unit(number(abs(row.shift), digits), unit),
        confidence=percent(names.confidence),
        ends=interval(low, high, digits),
        p=corrected(row.p_holm),
    )
    return _better_or_worse(row, others, told)


def _better_or_worse(row: MakerFieldRow | AssociationGroupRow, others: str, told: str) -> str:
    is_one, is_better = row.machines == 1, row.relation == "better"
    # For translators: after a number of machines.
    one_better = say("is better than {others}, {told}", others=others, told=told)
    # For translators: after a number of machines.
    one_worse = say("is worse than {others}, {told}", others=others, told=told)
    # For translators: after a number of machines.
    better = say("are better than {others}, {told}", others=others, told=told)
    # For translators: after a number of machines.
    worse = say("are worse than {others}, {told}", others=others, told=told)
    if is_one:
        return one_better if is_better else one_worse
    return better if is_better else worse


def _others(how_many: int) -> str:
    if how_many == 1:
        return say("the other machine")
    return say_count("the {count} others", "the {count} others", how_many)


def _pairs(row: MakerFieldRow) -> str:
    if not row.pairs:
        return ""
    if row.pairs > 1:
        return " " + say(
            "Of its {pairs} pairs with set-ups of others, {better} are better, {worse} worse, "
            "{level} level and {untold} not told apart.",
            pairs=row.pairs,
            better=row.pairs_better,
            worse=row.pairs_worse,
            level=row.pairs_level,
            untold=row.pairs_cannot_tell,
        )
    if row.pairs_better:
        return " " + say("Its 1 pair with a set-up of another maker is better.")
    if row.pairs_worse:
        return " " + say("Its 1 pair with a set-up of another maker is worse.")
    if row.pairs_level:
        return " " + say("Its 1 pair with a set-up of another maker is level.")
    return " " + say("Its 1 pair with a set-up of another maker is not told apart.")


def corrected(p_holm: float | None) -> str:
    """A p value put right for the number of tests; that there is none."""
    if p_holm is None:
        return say("no test")
    # For translators: a p value, put right for the number of tests.
    return say("corrected {p}", p=p_value(p_holm))


def reason(why: str | None) -> str:
    """Why there is no figure."""
    return terms.WHY.get(why, why) if why else say("there is no such figure")


def beware(warning: str | None) -> str:
    """A sentence of warning after others; blank where there is nothing to beware of."""
    return " " + say("Beware: {warning}.", warning=warning) if warning else ""
