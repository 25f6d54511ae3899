"""Sentences on makers, and on what goes with good results.

In:  rows of ``maker_against_field``, ``associations``, ``association_groups`` and
     ``claim_associations``.
Out: text. Better or worse is said only where the row's relation says it; causes never.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from trialpress.analyses.records import (
    AssociationGroupRow,
    AssociationRow,
    ClaimAssociationRow,
    MakerFieldRow,
)
from trialpress.sentences.names import Names
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
    "head": "head",
    "mop": "mop",
    "kind": "kind of machine",
    "price-band": "price band",
    "price": "price",
    "released-year": "year of release",
}
NO_CAUSE = "That does not make it the cause."
SHARE_DECIMALS = 2


@dataclass(frozen=True)
class Overview:
    """A row of ``maker_overview``, of all set-ups tried."""

    maker: str
    protocol: str
    version: int
    setups: int
    best: float
    median: float
    worst: float
    in_top_cut: int
    top_n: int
    unit: str
    decimals: int


def maker_overview(row: Overview, names: Names) -> str:
    """Best with the number tried, median and worst, and how many are in the top cut."""
    best, middle, worst = (number(v, row.decimals) for v in (row.best, row.median, row.worst))
    start = f"{names.makers[row.maker]} on {names.title((row.protocol, row.version))}: "
    cut = f"{row.in_top_cut} of {row.setups} in the top {row.top_n}"
    if row.setups == 1:
        return f"{start}1 set-up tried, {with_unit(best, row.unit)}; {cut}."
    spread = f"best {best}, median {middle}, worst {with_unit(worst, row.unit)}"
    return f"{start}{row.setups} set-ups tried: {spread}; {cut}."


def maker_against_field(row: MakerFieldRow, names: Names) -> str:
    """A maker's machines against all others: as machines, and pair by pair."""
    maker, title = names.makers[row.maker], names.title((row.protocol, row.version))
    start = f"{maker} on {title}: its {count(row.machines, 'machine', 'machines')}"
    return f"{start} {_verdict(row, names)}{_pairs(row)}{_beware(row.warning)}"


def association_group(row: AssociationGroupRow, names: Names) -> str:
    """One group of machines against all others."""
    factor, title = FACTORS[row.factor], names.title((row.protocol, row.version))
    told = with_unit(number(row.median, row.decimals), row.unit)
    if row.machines > 1:
        told = f"median {told} ({interval(row.lowest, row.highest, row.decimals)})"
    start = f"On {title}, {factor} {row.level}: {count(row.machines, 'machine', 'machines')}"
    return f"{start}, {told}, {_verdict(row, names)}{_beware(row.warning)}"


def _verdict(row: MakerFieldRow | AssociationGroupRow, names: Names) -> str:
    others = "the other machine" if row.others == 1 else f"the {row.others} others"
    if row.shift is None or row.shift_low is None or row.shift_high is None:
        return f"cannot be told from {others}, as {_reason(row.why)}."
    unit, digits = difference_unit(row.unit), row.decimals
    if row.relation == "cannot tell":
        told = with_unit(signed(row.shift, digits), unit)
        ends = interval(row.shift_low, row.shift_high, digits)
        basis = f"{percent(names.confidence)} interval {ends}, {_corrected(row.p_holm)}"
        return f"cannot be told from {others} (shift {told}, {basis})."
    low, high = sorted((abs(row.shift_low), abs(row.shift_high)))
    told = with_unit(number(abs(row.shift), digits), unit)
    basis = f"{percent(names.confidence)} interval {interval(low, high, digits)}"
    verb = "is" if row.machines == 1 else "are"
    return f"{verb} {row.relation} than {others}, by {told} ({basis}, {_corrected(row.p_holm)})."


def _pairs(row: MakerFieldRow) -> str:
    if not row.pairs:
        return ""
    if row.pairs == 1:
        kinds = (
            ("better", row.pairs_better),
            ("worse", row.pairs_worse),
            ("level", row.pairs_level),
        )
        (said,) = [word for word, how_many in kinds if how_many] or ["not told apart"]
        return f" Its 1 pair with a set-up of another maker is {said}."
    return (
        f" Of its {row.pairs} pairs with set-ups of others, {row.pairs_better} are better, "
        f"{row.pairs_worse} worse, {row.pairs_level} level and {row.pairs_cannot_tell} not told "
        "apart."
    )


def association(row: AssociationRow, names: Names) -> str:
    """Whether one factor goes with the results of one series."""
    factor = f"the {FACTORS[row.factor]}"
    over = count(row.machines, "machine", "machines")
    if row.groups is not None:
        over = f"{over} in {count(row.groups, 'group', 'groups')}"
    left = f" {_left_out(row.left_out)}" if row.left_out else ""
    effect = _Effect(row.effect_name, row.effect, row.effect_low, row.effect_high, row.p_holm)
    told = _goes_with(f"{factor} goes with {_results(row, names)}", over, effect, row, names)
    return f"{told}{left}{_beware(row.warning)}"


def claim_association(row: ClaimAssociationRow, names: Names) -> str:
    """Whether a stated figure goes with the results of one series."""
    effect = _Effect("rho", row.rho, row.rho_low, row.rho_high, row.p_holm)
    what = f"the {row.quantity.replace('-', ' ')} stated"
    over = count(row.machines, "machine", "machines")
    said = f"{what} goes with {_results(row, names)}"
    return f"{_goes_with(said, over, effect, row, names)}{_beware(row.warning)}"


def _results(row: AssociationRow | ClaimAssociationRow, names: Names) -> str:
    return f"the results on {names.title((row.protocol, row.version))}"


@dataclass(frozen=True)
class _Effect:
    """An effect size with its interval and corrected p value."""

    name: str
    value: float | None
    low: float | None
    high: float | None
    p_holm: float | None


def _goes_with(
    said: str,
    over: str,
    effect: _Effect,
    row: AssociationRow | ClaimAssociationRow,
    names: Names,
) -> str:
    if effect.value is None:
        return f"Whether {said} cannot be told: {_reason(row.why)}."
    value = number(effect.value, SHARE_DECIMALS)
    ends = "no interval"
    if effect.low is not None and effect.high is not None:
        told = interval(effect.low, effect.high, SHARE_DECIMALS)
        ends = f"{percent(names.confidence)} interval {told}"
    basis = f"{effect.name} {value}, {ends}, {_corrected(effect.p_holm)}"
    if row.relation != "goes with":
        return f"Whether {said} cannot be told from {over} ({basis})."
    start = f"{said[0].upper()}{said[1:]} over {over} ({basis})"
    return f"{start}{_direction(effect)}. {NO_CAUSE}"


def _direction(effect: _Effect) -> str:
    if effect.name != "rho" or effect.value is None:
        return ""
    return f": the higher it is, the {'higher' if effect.value > 0 else 'lower'} the value"


def _left_out(how_many: int) -> str:
    if how_many == 1:
        return "1 machine is left out, as nothing is known of it there."
    return f"{how_many} machines are left out, as nothing is known of them there."


def _corrected(p_holm: float | None) -> str:
    return f"corrected {p_value(p_holm)}" if p_holm is not None else "no test"


def _reason(why: str | None) -> str:
    return why or "there is no such figure"


def _beware(warning: str | None) -> str:
    return f" Beware: {warning}." if warning else ""
