"""How a run is made, as the lines of a ticket.

In:  one protocol version, or one floor.
Out: ``Entry`` lines in words, blanks left out.
"""

from __future__ import annotations

from dataclasses import dataclass

from trialpress.site import urls
from trialpress.site.frame import Link
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
    entries = (
        _floor(view, version),
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


def _floor(view: View, version: typed.Protocol) -> Entry:
    if version.floor is None:
        return Entry(say("Floor"), "")
    return Entry(say("Floor"), view.floor[version.floor].name, urls.floor_url(version.floor))


def floor_link(view: View, series: typed.Protocol) -> Link:
    """The floor of a series; where it has none, how a run is made."""
    if series.floor is None:
        # For translators: of a value that is read wherever the machine stands.
        return Link(say("no particular floor"), urls.method_url(series.protocol))
    return Link(view.floor[series.floor].name, urls.floor_url(series.floor))


def floor_name(view: View, series: typed.Protocol) -> str:
    """The name of the floor of a series; blank where it has none."""
    return "" if series.floor is None else view.floor[series.floor].name


def covering_words(floor: typed.Floor) -> str:
    """``carpet, pile 9 mm``."""
    covering = say(COVERINGS[floor.covering])
    if floor.pile_mm is None:
        return covering
    # For translators: {covering} is such as "carpet", {height} how high its pile is.
    return say(
        "{covering}, pile {height}", covering=covering, height=_with_unit(floor.pile_mm, "mm")
    )


def called(floor: typed.Floor) -> tuple[str, ...]:
    """What readers call a floor, the commonest word first; its name where nothing is noted."""
    words = tuple(word.strip() for word in (floor.called or "").split("|") if word.strip())
    return words or (floor.name,)


def floor_in_words(floor: typed.Floor) -> str:
    """A floor as a reader would know it: ``thick rug, 18 mm pile``."""
    word = called(floor)[0]
    if floor.pile_mm is None:
        return word
    # For translators: {floor} is such as "thick rug", {height} how high its pile is.
    return say("{floor}, {height} pile", floor=word, height=_with_unit(floor.pile_mm, "mm"))


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
