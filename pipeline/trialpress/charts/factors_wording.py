"""The words of charts of what goes with good results.

In:  figures already rounded to their published digits.
Out: text.
"""

from __future__ import annotations

from trialpress.charts.wording import unit_and_direction
from trialpress.words import figures

EFFECT_DECIMALS = 2
HEADINGS = {
    "kind": "Kind of machine",
    "head": "Head",
    "mop": "Mop",
    "price-band": "Price band",
    "released-year": "Year of release",
}
Effect = tuple[str, float | None, float | None, float | None]


def factors_title(series: str) -> str:
    """Title of the chart of one series."""
    return f"{series}: what goes with good results"


def factors_description(machines: int, factors: int) -> str:
    """Text alternative."""
    panels = "1 panel" if factors == 1 else f"{factors} panels"
    noun = "machine" if machines == 1 else "machines"
    return f"Every one of {machines} {noun} as a circle, in the row of its group, in {panels}."


def factors_caption(unit: str, better: str) -> str:
    """How to read it."""
    return (
        "A circle is a machine: the median of its set-ups as unboxed, "
        f"{unit_and_direction(unit, better)}. The upright mark is the median of a group. Above "
        "each panel the size of the effect with its interval: eta squared is the share of the "
        "spread in ranks that the groups account for, rho is Spearman's rank correlation. What "
        "goes together need not cause each other."
    )


def factor_heading(factor: str, machines: int, effect: Effect) -> str:
    """What one panel shows, and how far it goes with the results."""
    noun = "machine" if machines == 1 else "machines"
    return f"{HEADINGS[factor]}\n{_effect(effect)}, {machines} {noun}"


def _effect(effect: Effect) -> str:
    name, value, low, high = effect
    if value is None:
        return "no effect size"
    told = f"{name} {figures.number(value, EFFECT_DECIMALS)}"
    if low is None or high is None:
        return f"{told}, no interval"
    return f"{told} ({figures.number(low, EFFECT_DECIMALS)} to {figures.number(high, EFFECT_DECIMALS)})"


def group_label(level: str, machines: int) -> str:
    """A group and how many machines it has."""
    return f"{level} ({machines})"


def machine_reading(name: str, told: str, level: str) -> str:
    """What one circle says."""
    return f"{name}: {told}; {level}"
