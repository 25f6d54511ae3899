"""The texts of a kit: fact sheet, description, alternatives for those who cannot see, its pages.

In:  the source of a kit and its stills.
Out: every text file by its name, and warnings.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar

from trialpress.bench import Bench
from trialpress.charts import palette_css, read_theme, shipped_templates
from trialpress.kit.conditions import acquisition_of, conditions_of, setups_of
from trialpress.kit.description import description_of, film_of, missing_links
from trialpress.kit.facts import Fact, NotToSay, carrying_sentences, facts_of, not_to_say
from trialpress.kit.making import Source
from trialpress.kit.request import NotShown
from trialpress.kit.speech import are_figures_spelled
from trialpress.kit.stills.still import FigureTable, Still
from trialpress.site import wording
from trialpress.site.films import corrections_since_film, pins_of
from trialpress.site.templates import own_templates, render
from trialpress.words import figures, message, say, spoken

FOLDER = "kit"


NOT_SPELLED = message("Figures to say are written in numerals: they are spelled in English only.")


@dataclass(frozen=True)
class Texts:
    """Text files by their names, and what the film-maker is warned of."""

    files: Mapping[str, str]
    warnings: tuple[str, ...]


@dataclass(frozen=True)
class FactSheet:
    """What may be said, what not, and how it was come by."""

    template: ClassVar[str] = "kit/fact_sheet.html"
    language: str
    title: str
    as_of: str
    embargo: str
    notice: str
    carrying: tuple[str, ...]
    facts: tuple[Fact, ...]
    spelling: str
    not_to_say: tuple[NotToSay, ...]
    setups: tuple[str, ...]
    conditions: tuple[str, ...]
    acquisition: tuple[str, ...]
    corrections: tuple[str, ...]
    pins: tuple[str, ...]
    not_shown: tuple[NotShown, ...]
    warnings: tuple[str, ...]


@dataclass(frozen=True)
class ContactSheet:
    """Every still of a kit on one page."""

    template: ClassVar[str] = "kit/contact_sheet.html"
    language: str
    title: str
    as_of: str
    embargo: str
    notice: str
    stills: tuple[Still, ...]
    not_shown: tuple[NotShown, ...]
    warnings: tuple[str, ...]


def texts_of(source: Source, stills: tuple[Still, ...], bench: Bench, site: Path) -> Texts:
    """Every text of the kit."""
    facts = facts_of(source)
    warnings = missing_links(source, site)
    sheet = _fact_sheet(source, facts, warnings)
    contact = _contact_sheet(source, stills, warnings)
    templates = own_templates(bench)
    style = (shipped_templates() / FOLDER / "kit.css").read_text("utf-8")
    files = {
        "index.html": render(templates, contact).decode(),
        "fact-sheet.html": render(templates, sheet).decode(),
        "fact-sheet.md": fact_sheet_text(sheet),
        "description.txt": description_of(source, facts),
        "stills-in-words.md": words_of_stills(source, stills),
        "kit.css": palette_css(read_theme()) + style,
    }
    return Texts(files, warnings)


def _title(source: Source) -> str:
    request, view = source.subject.request, source.view
    if request.setup is not None:
        return view.names.setups[request.setup].full
    if request.maker is not None:
        return view.names.makers[request.maker]
    titles = {series.protocol: series.name.full for series in view.current_series}
    return say("The top of {title}", title=titles[str(request.top)])


def _contact_sheet(
    source: Source, stills: tuple[Still, ...], warnings: tuple[str, ...]
) -> ContactSheet:
    return ContactSheet(
        language=spoken().tag,
        title=_title(source),
        as_of=source.as_of_words,
        embargo=source.embargo_words,
        notice=source.notice,
        stills=stills,
        not_shown=source.subject.not_shown,
        warnings=warnings,
    )


def _fact_sheet(source: Source, facts: tuple[Fact, ...], warnings: tuple[str, ...]) -> FactSheet:
    return FactSheet(
        language=spoken().tag,
        title=_title(source),
        as_of=source.as_of_words,
        embargo=source.embargo_words,
        notice=source.notice,
        carrying=carrying_sentences(source, facts),
        facts=facts,
        spelling="" if are_figures_spelled() else say(NOT_SPELLED),
        not_to_say=not_to_say(source, facts),
        setups=setups_of(source),
        conditions=conditions_of(source),
        acquisition=acquisition_of(source),
        corrections=tuple(_corrections(source)),
        pins=tuple(_pins(source)),
        not_shown=source.subject.not_shown,
        warnings=warnings,
    )


def _corrections(source: Source) -> Iterator[str]:
    """What was corrected of each machine since the last film that shows it."""
    view = source.view
    for machine in dict.fromkeys(view.setup[setup].machine for setup in source.subject.setups):
        film, changes = corrections_since_film(view, machine)
        name = view.names.machines[machine]
        since = say("since “{film}”", film=film.title) if film else say("no film shows it yet")
        times = figures.count(len(changes), "correction", "corrections") if changes else say("none")
        yield say(
            "{machine}: {corrections}, {since}.", machine=name, corrections=times, since=since
        )
        for change in changes:
            yield say(
                "{day}: {column} of {row} was {was} and is {now}. {why}",
                day=figures.day(change.corrected_on),
                column=change.column,
                row=change.row,
                was=change.was or say("blank"),
                now=change.now or say("blank"),
                why=wording.sentence(change.why),
            )


def _pins(source: Source) -> Iterator[str]:
    """What to pin below films, as far as they show the subject."""
    film = film_of(source)
    for pin in pins_of(source.view):
        if film is not None and pin.film.film == film.film:
            yield f"{pin.film.title} ({pin.film.whole}): {pin.sentence}"


def fact_sheet_text(sheet: FactSheet) -> str:
    """The fact sheet in Markdown."""
    figures_ = FigureTable(
        (
            say("protocol"), say("set-up"), say("to say"), say("written"), say("interval"),
            say("runs"), say("place"), say("beware"), say("page"),
        ),
        tuple(
            (
                fact.series.name.full, fact.name, fact.spoken, fact.written, fact.words.interval,
                str(fact.row.n), fact.places, ", ".join(fact.marks), fact.page,
            )
            for fact in sheet.facts
        ),
    )  # fmt: skip
    blocks = (
        f"# {sheet.title}",
        " ".join(one for one in (sheet.as_of, sheet.embargo, sheet.notice) if one),
        _section(say("Three sentences that carry the film"), sheet.carrying),
        f"## {say('Figures')}\n\n{markdown_table(figures_)}" if sheet.facts else "",
        sheet.spelling if sheet.facts else "",
        _section(say("Not to be claimed"), [f"{one.claim}: {one.why}" for one in sheet.not_to_say]),
        _section(say("How it was configured"), sheet.setups),
        _section(say("How a run is made"), sheet.conditions),
        _section(say("How the machines were come by"), sheet.acquisition),
        _section(say("Corrected since the last film"), sheet.corrections),
        _section(say("To be pinned below films"), sheet.pins),
        _section(say("Not shown"), [f"{one.title}: {one.why}" for one in sheet.not_shown]),
        _section(say("Warnings"), sheet.warnings),
    )
    return "\n\n".join(block for block in blocks if block) + "\n"


def _section(title: str, lines: Sequence[str]) -> str:
    return f"## {title}\n\n" + "\n".join(f"- {line}" for line in lines) if lines else ""


def words_of_stills(source: Source, stills: Sequence[Still]) -> str:
    """What each still shows, and its figures as a table, for those who cannot see it."""
    head = [f"# {_title(source)}", source.as_of_words, source.embargo_words]
    tables = [
        f"## {still.title}\n\n`{still.name}`\n\n{still.alt}\n\n{markdown_table(still.table)}"
        for still in stills
    ]
    return "\n\n".join(part for part in (*head, *tables) if part) + "\n"


def markdown_table(table: FigureTable) -> str:
    """A table in Markdown."""
    lines = (table.heads, ("---",) * len(table.heads), *table.rows)
    return "\n".join(f"| {' | '.join(cell.replace('|', '/') for cell in line)} |" for line in lines)
