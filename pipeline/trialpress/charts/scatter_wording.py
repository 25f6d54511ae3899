"""The words of scatters.

In:  figures already rounded to their published digits, and what a chart is of.
Out: text in the language spoken; a constant is a text that is still to be said.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from trialpress.charts.wording import unit_and_direction
from trialpress.words import figures, message, say, say_count

RHO_DECIMALS = 2
MOST_TOLD = 5
FRONTS = {
    "certain": message("nobody beats it at its price"),
    "possible": message("cannot tell whether it is beaten at its price"),
    "beaten": message("beaten at its price"),
}
VALUE_CAPTION = message(
    "A mark is a set-up as unboxed, its price to the right on a scale of equal ratios, its mean "
    "upwards with its interval. Filled: shown to be better than all that cost no more. Open: "
    "cannot tell. A cross: another that costs no more is shown to be better. Overlapping lines do "
    "not decide. Prices in other currencies are not drawn, none is converted."
)


def value_title(series: str | None) -> str:
    """Title of results against prices, of the overall where no series is named."""
    # For translators: in place of the title of a series: the value over all of them.
    overall = say("Overall")
    return say("{series}: results against prices", series=series or overall)


def value_heading(total: int, unbeaten: int) -> str:
    """What is found, above the drawing."""
    return say(
        "{unbeaten} of {total} shown to be better than all that cost no more",
        unbeaten=unbeaten,
        total=total,
    )


def value_axes(unit: str, better: str, currency: str) -> Mapping[str, str]:
    """What goes up, and what goes to the right."""
    # For translators: {in_unit} is "in % (higher is better)".
    up = say("Mean {in_unit}", in_unit=unit_and_direction(unit, better))
    return {"up": up, "across": say("Price in {currency}", currency=currency)}


def value_description(total: int, unbeaten: Sequence[str], possible: int) -> str:
    """Text alternative of results against prices."""
    if unbeaten:
        more = len(unbeaten) - MOST_TOLD
        others = [say_count("{count} more", "{count} more", more)] if more > 0 else []
        names = figures.listing([*unbeaten[:MOST_TOLD], *others])
        found = say("Shown to be better than all that cost no more: {names}.", names=names)
    else:
        found = say("None is shown to be better than all that cost no more.")
    rest = say_count(
        "{count} set-up with a price; {possible} more possibly, {beaten} beaten.",
        "{count} set-ups with a price; {possible} more possibly, {beaten} beaten.",
        total,
        possible=possible,
        beaten=total - len(unbeaten) - possible,
    )
    return f"{found} {rest}"


def price(amount: float, currency: str, *, is_old: bool) -> str:
    """A price, and that it is old where it is."""
    written = f"{currency} {figures.plain(f'{amount:,.2f}'.removesuffix('.00'))}"
    return say("{price}, a price more than a year old", price=written) if is_old else written


def value_reading(name: str, mean: str, unit: str, told_price: str, front: str) -> str:
    """What one mark says."""
    return say(
        "{name}: {mean} for {price}; {verdict}",
        name=name,
        mean=figures.with_unit(mean, unit),
        price=told_price,
        verdict=say(FRONTS[front]),
    )


def claims_title(quantity: str) -> str:
    """Title of results against a stated figure."""
    # For translators: {quantity} is in the bench's own words, such as "suction".
    return say("Results against {quantity} as stated", quantity=_spoken(quantity))


def claims_heading(
    title: str, machines: int, rho: float, ends: tuple[float | None, float | None]
) -> str:
    """What one panel shows, and how far the two go together."""
    name, (low, high) = say("rho"), ends
    association = f"{name} {figures.number(rho, RHO_DECIMALS)}"
    if low is not None and high is not None:
        association = f"{association} ({figures.interval(low, high, RHO_DECIMALS)})"
    counted = say_count("{count} machine", "{count} machines", machines)
    return f"{title}\n{association}, {counted}"


def claims_axes(quantity: str, stated_in: str, unit: str) -> Mapping[str, str]:
    """What goes up, and what goes to the right."""
    across = say("{quantity} as stated, {unit}", quantity=_spoken(quantity), unit=stated_in)
    return {"up": say("Measured, {unit}", unit=unit), "across": across}


def claims_description(quantity: str, panels: int) -> str:
    """Text alternative of results against a stated figure."""
    return say(
        "One dot a machine: {quantity} as stated against its result, in {series} series.",
        quantity=_spoken(quantity),
        series=panels,
    )


def claims_caption(quantity: str, unit: str) -> str:
    """How to read results against a stated figure."""
    return say(
        "To the right {quantity} as stated, in {unit}; upwards the median of the machine's set-ups "
        "as unboxed. rho is the rank correlation with its interval, machines compared with those "
        "of their kind; what goes together need not cause each other. Each panel has its own "
        "scales.",
        quantity=_spoken(quantity),
        unit=unit,
    )


def claim_reading(name: str, stated: float, unit: str, measured: str) -> str:
    """What one dot says."""
    return say(
        "{name}: {stated} stated, {measured} measured",
        name=name,
        stated=figures.with_unit(figures.typed_number(stated), unit),
        measured=measured,
    )


def slug(text: str) -> str:
    """A unit as part of a chart's name."""
    return re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")


def _spoken(quantity: str) -> str:
    return quantity.replace("-", " ")
