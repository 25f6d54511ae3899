"""The words of charts of what goes with good results.

In:  figures already rounded to their published digits.
Out: text in the language spoken.
"""

from __future__ import annotations

from trialpress.charts.reading import mark_reading
from trialpress.charts.wording import unit_and_direction
from trialpress.view.terms import term
from trialpress.words import figures, message, say, say_count

EFFECT_DECIMALS = 2
HEADINGS = {
    "kind": message("Kind of machine"),
    # For translators: the part of a machine that touches the floor.
    "head": message("Head"),
    "mop": message("Mop"),
    "price-band": message("Price band"),
    "released-year": message("Year of release"),
}
Effect = tuple[str, float | None, float | None, float | None]


def factors_title(series: str) -> str:
    """Title of the chart of one series."""
    return say("{series}: what goes with good results", series=series)


def factors_description(machines: int, factors: int) -> str:
    """Text alternative."""
    # For translators: follows "in".
    panels = say_count("{count} panel", "{count} panels", factors)
    return say_count(
        "Every one of {count} machine as a circle, in the row of its group, in {panels}.",
        "Every one of {count} machines as a circle, in the row of its group, in {panels}.",
        machines,
        panels=panels,
    )


def factors_caption(unit: str, better: str) -> str:
    """How to read it."""
    # For translators: {in_unit} is "in % (higher is better)".
    return say(
        "A circle is a machine: the median of its set-ups as unboxed, {in_unit}. The upright mark "
        "is the median of a group. Above each panel the size of the effect, machines compared with "
        "those of their kind: eta squared is the share of the spread in ranks that the groups "
        "account for, rho is the rank correlation. What goes together need not cause each other.",
        in_unit=unit_and_direction(unit, better),
    )


def factor_heading(factor: str, machines: int, effect: Effect) -> str:
    """What one panel shows, and how far it goes with the results."""
    counted = say_count("{count} machine", "{count} machines", machines)
    counts = ", ".join((*_effect(effect), counted))
    return f"{say(HEADINGS[factor])}\n{counts}"


def _effect(effect: Effect) -> tuple[str, ...]:
    name, value, low, high = effect
    if value is None:
        return (say("no effect size"),)
    size = f"{term('effect_name', name)} {figures.number(value, EFFECT_DECIMALS)}"
    if low is None or high is None:
        return size, say("no interval")
    return (f"{size} ({figures.interval(low, high, EFFECT_DECIMALS)})",)


def group_label(group: str, machines: int) -> str:
    """A group and how many machines it has."""
    return f"{group} ({machines})"


def machine_reading(name: str, value: str, group: str) -> str:
    """What one circle says."""
    return mark_reading(name, f"{value}; {group}")
