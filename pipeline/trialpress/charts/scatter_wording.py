"""The words of scatters.

In:  figures already rounded to their published digits, and what a chart is of.
Out: text.
"""

from __future__ import annotations

import re

from trialpress.words import figures

RHO_DECIMALS = 2
FRONTS = {
    "certain": "nobody beats it at its price",
    "possible": "cannot tell whether it is beaten at its price",
    "beaten": "beaten at its price",
}
VALUE_CAPTION = (
    "A mark is a set-up as unboxed, its price to the right on a scale of equal ratios, its mean "
    "upwards with its interval. Filled: better beyond doubt than all that cost no more. Open: "
    "cannot tell. A cross: another that costs no more is better beyond doubt. Overlapping lines do "
    "not decide. Prices in other currencies are not drawn, none is converted."
)


def value_title(series: str) -> str:
    """Title of results against prices."""
    return f"{series}: results against prices"


def value_heading(unit: str, better: str, currency: str) -> str:
    """What goes up, and what goes to the right."""
    return f"Up: mean in {unit} ({better} is better)\nRight: price in {currency}"


def value_description(total: int, certain: int, possible: int) -> str:
    """Text alternative of results against prices."""
    return (
        f"{total} set-up{'' if total == 1 else 's'} with a price: {certain} certainly unbeaten at "
        f"their price, {possible} possibly, {total - certain - possible} beaten."
    )


def price(amount: float, currency: str, *, is_old: bool) -> str:
    """A price, and that it is old where it is."""
    told = f"{currency} {amount:,.2f}".removesuffix(".00")
    return f"{told}, a price more than a year old" if is_old else told


def value_reading(name: str, mean: str, unit: str, told_price: str, front: str) -> str:
    """What one mark says."""
    return f"{name}: {figures.with_unit(mean, unit)} for {told_price}; {FRONTS[front]}"


def claims_title(quantity: str) -> str:
    """Title of results against a stated figure."""
    return f"Results against {_spoken(quantity)} as stated"


def claims_heading(
    title: str, machines: int, rho: float, ends: tuple[float | None, float | None]
) -> str:
    """What one panel shows, and how far the two go together."""
    told = f"rho {figures.number(rho, RHO_DECIMALS)}"
    if ends[0] is not None and ends[1] is not None:
        low, high = (figures.number(end, RHO_DECIMALS) for end in ends if end is not None)
        told = f"{told} ({low} to {high})"
    return f"{title}\n{told}, {machines} machines"


def claims_description(quantity: str, panels: int) -> str:
    """Text alternative of results against a stated figure."""
    series = "1 series" if panels == 1 else f"{panels} series"
    return f"One dot a machine: {_spoken(quantity)} as stated against its result, in {series}."


def claims_caption(quantity: str, unit: str) -> str:
    """How to read results against a stated figure."""
    return (
        f"To the right {_spoken(quantity)} as stated, in {unit}; upwards the median of the "
        "machine's set-ups as unboxed. rho is Spearman's rank correlation with its interval; what "
        "goes together need not cause each other. Each panel has its own scales."
    )


def claim_reading(name: str, stated: float, unit: str, measured: str) -> str:
    """What one dot says."""
    return f"{name}: {figures.with_unit(figures.typed_number(stated), unit)} stated, {measured} measured"


def slug(text: str) -> str:
    """A unit as part of a chart's name."""
    return re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")


def _spoken(quantity: str) -> str:
    return quantity.replace("-", " ")
