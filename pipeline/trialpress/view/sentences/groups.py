"""Sentences on makers, and on machines that have something in common.

In:  rows of ``maker_overview``, ``maker_against_field`` and ``association_groups``.
Out: text. Better or worse is said only where the row's relation says it; causes never. Machines are
     compared with those of their kinds.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from trialpress.analyses.records import AssociationGroupRow, MakerFieldRow
from trialpress.view.names import Names
from trialpress.view.results import MakerOverview
from trialpress.view.terms import group_name, kind_name, term, warning_words, why_words
from trialpress.words import say, say_count
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


def maker_overview(row: MakerOverview, top_n: int, names: Names) -> str:
    """Best with the number tried, median and worst, and how many are in the top cut."""
    best, middle, worst = (number(v, row.decimals) for v in (row.best, row.median, row.worst))
    counts = {
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
            **counts,
        )
    return say(
        "{maker} on {title}: {all} set-ups tried: best {best}, median {median}, worst {worst}; "
        "{inside} of {all} in the top {top}.",
        best=best,
        median=middle,
        worst=with_unit(worst, row.unit),
        **counts,
    )


def maker_against_field(row: MakerFieldRow, names: Names) -> str:
    """A maker's machines against all others: as machines, and pair by pair."""
    field = say(
        "{maker} on {title}: its {machines} {verdict}.",
        maker=names.makers[row.maker],
        title=names.title((row.protocol, row.version)),
        machines=count(row.machines, "machine", "machines"),
        verdict=_verdict(row, names),
    )
    return f"{field}{_pairs(row)}{_over_all(row)}{beware(warning_of(row, names.makers))}"


def field_finding(rows: Sequence[MakerFieldRow]) -> str:
    """On how many protocols a maker's machines are told from others of their kinds; a heading."""
    relations = [row.relation for row in rows]
    better, worse = relations.count("better"), relations.count("worse")
    if not better and not worse:
        return say_count(
            "Not told from others of the same kinds on {count} protocol",
            "Not told from others of the same kinds on any of {count} protocols",
            len(rows),
        )
    return say_count(
        "Against others of the same kinds: better on {better} of {count} protocol, worse on "
        "{worse}",
        "Against others of the same kinds: better on {better} of {count} protocols, worse on "
        "{worse}",
        len(rows),
        better=better,
        worse=worse,
    )


def association_group(row: AssociationGroupRow, names: Names) -> str:
    """One group of machines against all others."""
    value = with_unit(number(row.median, row.decimals), row.unit)
    if row.machines > 1:
        ends = interval(row.lowest, row.highest, row.decimals)
        value = say("median {value} ({ends})", value=value, ends=ends)
    group = say(
        "On {title}, {factor} {group}: {machines}, {value}, {verdict}.",
        title=names.title((row.protocol, row.version)),
        factor=term("factor", row.factor),
        group=group_name(row.factor, row.level),
        machines=count(row.machines, "machine", "machines"),
        value=value,
        verdict=_verdict(row, names),
    )
    return f"{group}{_over_all(row)}{beware(warning_of(row, names.makers))}"


def warning_of(row: MakerFieldRow | AssociationGroupRow, makers: Mapping[str, str]) -> str:
    """What to beware of in a comparison, makers by their names; blank where there is nothing."""
    only_maker = row.only_maker if isinstance(row, AssociationGroupRow) else None
    return warning_words(
        row.warning,
        only_maker=makers[only_maker] if only_maker else "",
        only_kind=kind_name(row.only_kind) if row.only_kind else "",
    )


def _over_all(row: MakerFieldRow | AssociationGroupRow) -> str:
    """What all kinds together seem to say, where it is something else."""
    if not row.differs_from_raw or row.raw_shift is None:
        return ""
    shift = with_unit(signed(row.raw_shift, row.decimals), difference_unit(row.unit))
    return " " + say(
        "Over all kinds together the difference is {shift}; kinds differ, so that this tells "
        "nothing of it.",
        shift=shift,
    )


def _verdict(row: MakerFieldRow | AssociationGroupRow, names: Names) -> str:
    if not row.others:
        return say("cannot be told from others, as {why}", why=why_words(row.why))
    others = _others(row)
    if row.shift is None or row.shift_low is None or row.shift_high is None:
        return say("cannot be told from {others}, as {why}", others=others, why=why_words(row.why))
    unit, digits = difference_unit(row.unit), row.decimals
    if row.relation == "cannot tell":
        return say(
            "cannot be told from {others} (shift {shift}, {confidence} interval {ends}, {p})",
            others=others,
            shift=with_unit(signed(row.shift, digits), unit),
            confidence=percent(names.confidence),
            ends=interval(row.shift_low, row.shift_high, digits),
            p=corrected(_together(row)),
        )
    low, high = sorted((abs(row.shift_low), abs(row.shift_high)))
    basis = say(
        "by {shift} ({confidence} interval {ends}, {p})",
        shift=with_unit(number(abs(row.shift), digits), unit),
        confidence=percent(names.confidence),
        ends=interval(low, high, digits),
        p=corrected(_together(row)),
    )
    return _better_or_worse(row, others, basis)


def _better_or_worse(row: MakerFieldRow | AssociationGroupRow, others: str, basis: str) -> str:
    is_one, is_better = row.machines == 1, row.relation == "better"
    # For translators: after a number of machines.
    one_better = say("is better than {others}, {basis}", others=others, basis=basis)
    # For translators: after a number of machines.
    one_worse = say("is worse than {others}, {basis}", others=others, basis=basis)
    # For translators: after a number of machines.
    better = say("are better than {others}, {basis}", others=others, basis=basis)
    # For translators: after a number of machines.
    worse = say("are worse than {others}, {basis}", others=others, basis=basis)
    if is_one:
        return one_better if is_better else one_worse
    return better if is_better else worse


def _together(row: MakerFieldRow | AssociationGroupRow) -> float | None:
    """The p value put right for all looks of its family."""
    return row.p_holm if isinstance(row, MakerFieldRow) else row.p_fdr


def _others(row: MakerFieldRow | AssociationGroupRow) -> str:
    """Whom a group is set against: others of its kinds, or of other kinds."""
    is_of_any_kind = isinstance(row, AssociationGroupRow) and row.factor == "kind"
    if row.others == 1:
        return say("the other machine") if is_of_any_kind else say("the other machine of its kinds")
    if is_of_any_kind:
        return say_count("the {count} others", "the {count} others", row.others)
    return say_count(
        "the {count} others of the same kinds", "the {count} others of the same kinds", row.others
    )


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


def corrected(p: float | None) -> str:
    """A p value put right for the number of looks; that there is none."""
    if p is None:
        return say("no test")
    # For translators: a p value, put right for the number of looks.
    return say("corrected {p}", p=p_value(p))


def beware(warning: str) -> str:
    """A sentence of warning after others; blank where there is nothing to beware of."""
    return " " + say("Beware: {warning}.", warning=warning) if warning else ""
