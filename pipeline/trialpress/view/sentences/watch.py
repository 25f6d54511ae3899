"""What the control charts of the bench can see, in sentences.

In:  the rows of ``drift_charts``.
Out: how often a chart errs and what it would see, and whether its baseline holds a step.

Short: a chart has two things to say of itself.
"""

from __future__ import annotations

from trialpress.results.change_point import STEP_LEVEL
from trialpress.view.results import DriftChart
from trialpress.words import figures, say

ONE_POINT = 0.01


def what_it_sees(chart: DriftChart, unit: str) -> str:
    """How often a chart marks a day for nothing, and how often a step that matters; or blank."""
    if chart.chance_of_false_alarm is None or chart.chance_to_see is None:
        return ""
    step = figures.with_unit(figures.typed_number(chart.matters), figures.difference_unit(unit))
    return say(
        "On the next {days} of the reference such a chart marks at least one for nothing in "
        "{false} of cases; a step of {step}, the smallest that matters, that comes and stays it "
        "marks in {seen}, if days scatter as they did.",
        days=figures.count(chart.days_ahead, "day", "days"),
        false=_chance(chart.chance_of_false_alarm),
        step=step,
        seen=_chance(chart.chance_to_see),
    )


def step_in_baseline(chart: DriftChart, unit: str) -> str:
    """Whether the days that the limits come from hold a step; blank where there are no limits."""
    if chart.step_on is None or chart.step_size is None or chart.step_p is None:
        return ""
    if not is_step_clear(chart):
        return say(
            "A step among the days that the limits come from was looked for: none stands out "
            "({p}).",
            p=figures.p_value(chart.step_p),
        )
    size = figures.signed(chart.step_size, chart.decimals)
    return say(
        "The days that the limits come from hold a step: from {day} on they differ by {size} from "
        "those before ({p}). The limits are wider for it, and the bench may have changed, or the "
        "machine.",
        day=figures.day(chart.step_on),
        size=figures.with_unit(size, figures.difference_unit(unit)),
        p=figures.p_value(chart.step_p),
    )


def is_step_clear(chart: DriftChart) -> bool:
    """Whether chance alone would hardly fit such a step."""
    return chart.step_p is not None and chart.step_p <= STEP_LEVEL


def _chance(share: float) -> str:
    """A chance to the point that it is known to: ``13 %``, ``under 1 %``, ``over 99 %``."""
    if share < ONE_POINT:
        return say("under {chance}", chance=figures.percent(ONE_POINT))
    if share > 1 - ONE_POINT:
        return say("over {chance}", chance=figures.percent(1 - ONE_POINT))
    return figures.percent(round(share, 2))
