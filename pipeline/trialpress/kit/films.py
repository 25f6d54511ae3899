"""Films that show something which was corrected after they were published.

In:  films with their marks, and the corrections.
Out: a sentence a mark and correction, to be pinned below the film; the corrections of a machine
     since the last film that showed it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from trialpress.bench import READING_TABLES
from trialpress.site import wording
from trialpress.view import View
from trialpress.view.typed import Correction, Film, FilmMark
from trialpress.words import figures, say


@dataclass(frozen=True)
class Pin:
    """What to pin below a film, and what it is about."""

    film: Film
    mark: FilmMark
    correction: str
    sentence: str


def pins_of(view: View) -> tuple[Pin, ...]:
    """Every correction of a figure that a film shows, made after the film was published."""
    changes = sorted(view.corrections, key=lambda one: one.corrected_on)
    return tuple(
        Pin(film, mark, change.correction, _sentence(view, mark, change))
        for film in view.films
        for change in changes
        if film.published_on is not None and change.corrected_on > film.published_on
        for mark in _marks_showing(view, film, change)[:1]
    )


def _marks_showing(view: View, film: Film, change: Correction) -> list[FilmMark]:
    """The marks whose figure rests on a corrected reading; one that shows the run itself first."""
    marks = [mark for mark in view.marks_of.get(film.film, ()) if _shows(view, mark, change)]
    return sorted(marks, key=lambda mark: (mark.run is None, mark.setup is None, mark.seconds))


def corrections_since_film(view: View, machine: str) -> tuple[Film | None, tuple[Correction, ...]]:
    """The last film that shows a machine, and what was corrected of it since; all without one."""
    setups = {row.setup for row in view.setups_of[machine]}
    films = [film for film in view.films if _is_of(view, film, setups) and film.published_on]
    last = films[0] if films else None  # the newest comes first
    since = last.published_on if last is not None else None
    found = [
        one
        for one in view.corrections
        if (since is None or one.corrected_on > since) and _is_about(view, one, machine, setups)
    ]
    return last, tuple(found)


def _is_of(view: View, film: Film, setups: set[str]) -> bool:
    for mark in view.marks_of.get(film.film, ()):
        run = view.run.get(mark.run or "")
        if mark.setup in setups or (run is not None and run.setup in setups):
            return True
    return False


def _is_about(view: View, change: Correction, machine: str, setups: set[str]) -> bool:
    if change.table in READING_TABLES:
        run = view.run.get(_key(change))
        return run is not None and run.setup in setups
    if change.table == "claims":
        claims = {row.claim for row in view.claims if row.machine == machine}
        return _key(change) in claims
    owners = {"setups": setups, "machines": {machine}}
    return _key(change) in owners.get(change.table, set())


def _shows(view: View, mark: FilmMark, change: Correction) -> bool:
    """Whether what a mark shows rests on a reading that was corrected."""
    if change.table not in READING_TABLES:
        return False
    run = view.run.get(_key(change))
    if run is None:
        return False
    return run.run == mark.run or run.setup == mark.setup or run.protocol == mark.protocol


def _key(change: Correction) -> str:
    return change.row.split("|")[0]


def _sentence(view: View, mark: FilmMark, change: Correction) -> str:
    said = say(
        "Correction of {day}: at {at}, “{label}”, {column} of run {run} was {was} and is {now}. "
        "{why}",
        day=figures.day(change.corrected_on),
        at=mark.at,
        label=mark.label,
        column=change.column.replace("_", " "),
        run=_key(change),
        was=change.was or say("blank"),
        now=change.now or say("blank"),
        why=wording.sentence(change.why),
    )
    return " ".join((said, *_result(view, _key(change))))


def _result(view: View, run: str) -> Iterator[str]:
    """What the run gives now."""
    result, row = view.run_result.get(run), view.run.get(run)
    if result is None or row is None:
        return
    standing = view.standings_of.get((row.protocol, row.series_version), ())
    decimals = next((one.decimals for one in standing if one.setup == row.setup), 1)
    value = figures.with_unit(figures.number(result.value, decimals), row.unit)
    yield say("The run gives {value} now.", value=value)
