"""How a run is made, as the lines of a ticket.

In:  one protocol version, or one floor.
Out: ``Entry`` lines in words, blanks left out.
"""

from __future__ import annotations

from dataclasses import dataclass

from trialpress.site import urls
from trialpress.view import View, terms, typed, verdicts
from trialpress.words import figures, message, say

COVERINGS = {
    # For translators: what a floor is covered with.
    "carpet": message("carpet"),
    # For translators: what a floor is covered with.
    "rug": message("rug"),
    # For translators: what a floor is covered with.
    "mat": message("mat"),
    "hard": message("hard floor"),
}


@dataclass(frozen=True)
class Entry:
    """One line of a ticket: what, how much, and where it leads."""

    what: str
    text: str
    url: str | None = None


def parameters(view: View, version: typed.Protocol) -> tuple[Entry, ...]:
    """How a run of one protocol version is made, as the lines of a ticket."""
    floor = view.floor[version.floor]
    entries = (
        Entry(say("Floor"), floor.name, urls.floor_url(floor.floor)),
        Entry(say("Soil"), _soil(version)),
        Entry(say("Dose"), _dose(version)),
        Entry(say("Passes"), str(version.passes) if version.passes is not None else ""),
        Entry(say("Time"), _with_unit(version.minutes, "min")),
        Entry(say("Zones"), str(version.zones) if version.zones is not None else ""),
        # For translators: before the worst grade of a zone that is called clean.
        Entry(say("Counts as clean"), _clean_limit(version)),
        Entry(say("Reading"), terms.READINGS[version.reading]),
        Entry(say("Unit"), f"{version.unit}, {verdicts.better_way(version.better)}"),
        Entry(say("Runs asked for"), str(version.min_runs)),
        Entry(say("Difference that matters"), _with_unit(version.matters, version.unit)),
    )
    return tuple(entry for entry in entries if entry.text)


def covering_words(floor: typed.Floor) -> str:
    """``carpet, pile 9 mm``."""
    covering = say(COVERINGS[floor.covering])
    if floor.pile_mm is None:
        return covering
    # For translators: {covering} is such as "carpet", {height} how high its pile is.
    return say(
        "{covering}, pile {height}", covering=covering, height=_with_unit(floor.pile_mm, "mm")
    )


def _with_unit(value: float | None, unit: str) -> str:
    return "" if value is None else figures.with_unit(figures.typed_number(value), unit)


def _soil(version: typed.Protocol) -> str:
    parts = (version.soil, version.soil_grade, version.soil_standard)
    return ", ".join(part for part in parts if part)


def _dose(version: typed.Protocol) -> str:
    if version.dose_tolerance_g is None or version.dose_g is None:
        return _with_unit(version.dose_g, "g")
    dose = figures.typed_number(version.dose_g)
    return figures.with_unit(f"{dose} ± {figures.typed_number(version.dose_tolerance_g)}", "g")


def _clean_limit(version: typed.Protocol) -> str:
    limit = version.clean_limit
    if limit is None:
        return ""
    return say("grade {limit} or cleaner, of 0 (clean) to 4 (heavily soiled)", limit=limit)
