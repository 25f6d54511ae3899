"""Films: at which second they show something, and what was corrected after they were published.

In:  films with their marks, and the corrections.
Out: ``Moment``: a second of a film, to be followed to; a sentence a mark and correction, to be
     pinned below the film; the corrections of a machine since the last film that showed it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from trialpress.bench import READING_TABLES
from trialpress.site import urls, wording
from trialpress.view import View
from trialpress.view.typed import Correction, Film, FilmMark, Run
from trialpress.words import figures, say


@dataclass(frozen=True)
class Moment:
    """A second of a film: where to watch it, and its line on the film's own page."""

    at: str
    label: str
    film: str
    watch: str
    line: str


def moments_of_run(view: View, run: str) -> tuple[Moment, ...]:
    """Where films show one run."""
    return _moments(view, view.marks_showing.get(("run", run), ()))


def moments_of_protocol(view: View, protocol: str) -> tuple[Moment, ...]:
    """Where films show how a protocol is run, in any of its versions."""
    return _moments(view, view.marks_showing.get(("protocol", protocol), ()))


def moments_of_machine(view: View, machine: str) -> tuple[Moment, ...]:
    """Where films show a machine's set-ups and their runs, film after film."""
    shown = [
        mark
        for film in view.films
        for mark in view.marks_of.get(film.film, ())
        if setup_shown(view, mark) in {row.setup for row in view.setups_of.get(machine, ())}
    ]
    return _moments(view, shown)


def moment_of_place(view: View, setup: str, protocol: str) -> Moment | None:
    """Where the newest film on a protocol shows a set-up: one of its runs rather than it alone."""
    on_it = {mark.film for mark in view.marks_showing.get(("protocol", protocol), ())}
    for film in view.films:
        marks = [m for m in view.marks_of.get(film.film, ()) if setup_shown(view, m) == setup]
        runs = [m for m in marks if m.run and view.run[m.run].protocol == protocol]
        alone = [m for m in marks if m.setup] if runs or film.film in on_it else []
        if runs or alone:
            return _moments(view, [*runs, *alone])[0]
    return None


def setup_shown(view: View, mark: FilmMark) -> str | None:
    """The set-up that a mark shows, by itself or in one of its runs."""
    return view.run[mark.run].setup if mark.run else mark.setup


def clock(at: str) -> str:
    """A time in a film as players show it: no leading zeros, ``3:40`` for ``0:03:40``."""
    hours, minutes, seconds = at.split(":")
    return f"{int(hours)}:{minutes}:{seconds}" if int(hours) else f"{int(minutes)}:{seconds}"


def _moments(view: View, marks: Sequence[FilmMark]) -> tuple[Moment, ...]:
    return tuple(
        Moment(
            at=clock(mark.at),
            label=mark.label,
            film=view.film[mark.film].title,
            watch=view.film[mark.film].second(mark.seconds),
            line=urls.mark_url(mark.film, mark.seconds),
        )
        for mark in marks
    )


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
    return any(setup_shown(view, mark) in setups for mark in view.marks_of.get(film.film, ()))


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
    correction = say(
        "Correction of {day}: at {at}, “{label}”, {column} of run {run} was {was} and is {now}. "
        "{why}",
        day=figures.day(change.corrected_on),
        at=mark.at,
        label=mark.label,
        column=wording.column_words(change.table, change.column),
        run=_key(change),
        was=change.was or say("blank"),
        now=change.now or say("blank"),
        why=wording.sentence(change.why),
    )
    return " ".join((correction, *_result(view, _key(change))))


def _result(view: View, run: str) -> Iterator[str]:
    """What the run gives now."""
    row = view.run.get(run)
    if row is not None and run in view.run_result:
        yield say("The run gives {value} now.", value=value_now(view, row))


def value_now(view: View, run: Run) -> str:
    """What a valid run gives, with the digits of its standing."""
    standing = view.standings_of.get((run.protocol, run.series_version), ())
    decimals = next((one.decimals for one in standing if one.setup == run.setup), 1)
    value = figures.number(view.run_result[run.run].value, decimals)
    return figures.with_unit(value, run.unit)
