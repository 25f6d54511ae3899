"""What stands below a film: plain text, as much of it as a platform takes.

In:  facts, conditions, links and the marks of a film.
Out: UTF-8 text of at most 5,000 bytes without angle brackets, its first two lines complete in
     themselves; warnings on links that lead nowhere yet.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from trialpress.editions import edition_url
from trialpress.kit.conditions import acquisition_of, conditions_of
from trialpress.kit.facts import Fact, sentence_of
from trialpress.kit.making import Source
from trialpress.paths import Destination, destination_of
from trialpress.site import urls
from trialpress.site.frame import Link
from trialpress.view.typed import Film
from trialpress.words import say

MOST_BYTES = 5_000
_PLAIN = str.maketrans({"<": "\N{SINGLE LEFT-POINTING ANGLE QUOTATION MARK}",
                        ">": "\N{SINGLE RIGHT-POINTING ANGLE QUOTATION MARK}"})  # fmt: skip


@dataclass(frozen=True)
class Paragraph:
    """A paragraph; lines of one that is long are left out from its end, of others never."""

    lines: tuple[str, ...]
    is_long: bool = False


def links_of(source: Source) -> tuple[Link, ...]:
    """The pages that show all of it."""
    view, subject = source.view, source.subject
    machines = dict.fromkeys(view.setup[setup].machine for setup in subject.setups)
    return (
        *(Link(view.names.machines[one], urls.machine_url(one)) for one in machines),
        *(Link(one.name.full, urls.standing_url(one)) for one in subject.series),
        *(
            Link(say("edition {version} of the data", version=version), edition_url(version))
            for version in (source.edition,)
            if version
        ),
        Link(say("all data to download"), urls.DATA),
        Link(say("corrections"), urls.CORRECTIONS),
    )


def missing_links(source: Source, site: Path) -> tuple[str, ...]:
    """A warning for each link to a page that the site as built last does not have."""
    if not site.is_dir():
        return (say("The site is not built yet, so nobody has looked whether the links lead on."),)
    return tuple(
        say("{url} is not in the site as it was built last: the link would lead nowhere.", url=url)
        for url in dict.fromkeys(link.url.partition("?")[0] for link in links_of(source))
        if destination_of(url, site) is not Destination.INSIDE or not (site / url).is_file()
    )


def film_of(source: Source) -> Film | None:
    """The newest film that shows the subject; the newest of all, where none does."""
    view, subject = source.view, source.subject
    setups, protocols = set(subject.setups), {one.protocol for one in subject.series}
    for film in view.films:
        marks = view.marks_of.get(film.film, ())
        named = (view.run.get(mark.run or "") for mark in marks)
        runs = [run for run in named if run is not None]
        if any(mark.setup in setups for mark in marks) or any(run.setup in setups for run in runs):
            return film
        if not setups and any(mark.protocol in protocols for mark in marks):
            return film
    return None


def description_of(source: Source, facts: Sequence[Fact]) -> str:
    """The whole text."""
    parts = [part for part in _parts(source, facts) if part.lines]
    while _size(parts) > MOST_BYTES and (shorter := _shortened(parts)) is not None:
        parts = shorter
    return _text(parts)


def _shortened(parts: Sequence[Paragraph]) -> list[Paragraph] | None:
    """Without the last line of the longest of the long parts; None where there is none left."""
    longest = max(
        (one for one in parts if one.is_long), key=lambda one: len(one.lines), default=None
    )
    if longest is None or not longest.lines:
        return None
    return [Paragraph(one.lines[:-1], one.is_long) if one is longest else one for one in parts]


def _size(parts: Sequence[Paragraph]) -> int:
    return len(_text(parts).encode())


def _text(parts: Sequence[Paragraph]) -> str:
    return (
        "\n\n".join("\n".join(part.lines) for part in parts if part.lines).translate(_PLAIN) + "\n"
    )


def _parts(source: Source, facts: Sequence[Fact]) -> Iterator[Paragraph]:
    settings = source.view.settings
    yield Paragraph(tuple(_first_lines(source, facts)))
    yield Paragraph((source.embargo_words,) if source.embargo_words else ())
    yield Paragraph((say("RESULTS"), *(sentence_of(fact) for fact in facts)), is_long=True)
    how = say("HOW IT WAS TESTED")
    yield Paragraph((how, *conditions_of(source)), is_long=True)
    disclosure = " ".join(settings.disclosure.split())
    yield Paragraph((say("WHO PAID"), *acquisition_of(source), disclosure))
    pages = (f"{link.words}: {settings.base_url}{link.url}" for link in links_of(source))
    yield Paragraph((say("PAGES"), *pages), is_long=True)
    yield Paragraph(_chapters(source))
    yield Paragraph((" ".join((settings.notice or "").split()),) if settings.notice else ())


def _first_lines(source: Source, facts: Sequence[Fact]) -> Iterator[str]:
    """Two lines that are all that most people see."""
    settings = source.view.settings
    best = min(facts, key=lambda fact: (fact.row.top != "certain", fact.rank), default=None)
    if best is not None:
        yield sentence_of(best)
    else:
        yield say("Trials at {bench}, {as_of}.", bench=settings.name, as_of=source.as_of_words)
    yield say(
        "Every figure with its interval, the method and all data: {address}",
        address=f"{settings.base_url}{links_of(source)[0].url}",
    )


def _chapters(source: Source) -> tuple[str, ...]:
    film = film_of(source)
    marks = source.view.marks_of.get(film.film, ()) if film is not None else ()
    return tuple(f"{mark.at} {mark.label}" for mark in marks)
