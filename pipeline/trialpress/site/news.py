"""What happened at the bench, newest first, as the page and the feeds tell it.

In:  the view, and the sentences on movements.
Out: ``NewsItem``: bench days with what moved, set-ups that were published, films, corrections.
     Dates are those of the data, never of the build.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from trialpress.site import urls, wording
from trialpress.site.frame import Link
from trialpress.site.source import SiteSource
from trialpress.store import grouped
from trialpress.view import View, typed
from trialpress.view.sentences.movements import within_doubt
from trialpress.words import figures, say

MOST_ITEMS = 60
DAY = "day-"


@dataclass(frozen=True)
class NewsItem:
    """One thing that happened. ``item`` is its lasting name, unique among all items."""

    item: str
    on: date
    title: str
    text: str
    links: tuple[Link, ...]


def news_of(source: SiteSource) -> tuple[NewsItem, ...]:
    """The latest items, newest first; those of one date by their names."""
    view = source.view
    items = [*_days(view), *_published(view), *_corrections(view), *_moved(source), *_films(view)]
    items.sort(key=lambda item: item.item)
    items.sort(key=lambda item: item.on, reverse=True)
    return tuple(items[:MOST_ITEMS])


def _days(view: View) -> Iterator[NewsItem]:
    made = [run for run in view.runs if run.status != "planned"]
    for (on, day), runs in grouped(made, lambda run: (run.day_date, run.day)).items():
        machines = dict.fromkeys(view.setup[run.setup].machine for run in runs)
        keys = {(run.protocol, run.series_version) for run in runs}
        series = [row for key, row in view.series.items() if key in keys]
        yield NewsItem(
            item=f"{DAY}{day}",
            on=on,
            title=say(
                "Bench day of {day}: {runs} with {machines}",
                day=figures.day(on),
                runs=figures.count(len(runs), "run", "runs"),
                machines=figures.count(len(machines), "machine", "machines"),
            ),
            # For translators: the titles of the protocols that a bench day's runs followed.
            text=say("On {series}.", series=figures.listing([row.name.full for row in series])),
            links=tuple(Link(row.name.full, urls.standing_url(row)) for row in series),
        )


def _published(view: View) -> Iterator[NewsItem]:
    """Set-ups that were kept back until an agreed date, on that date."""
    for setup in view.setups:
        if setup.publish_on is not None:
            name = view.names.setups[setup.setup].full
            yield NewsItem(
                item=f"published-{setup.setup}",
                on=setup.publish_on,
                title=say("Results of {setup}", setup=name),
                text=say("Kept back until this day, and counted from it on."),
                links=(Link(name, urls.machine_url(setup.machine)),),
            )


def _corrections(view: View) -> Iterator[NewsItem]:
    groups = grouped(view.corrections, lambda row: (row.corrected_on, row.correction))
    for (on, correction), lines in groups.items():
        yield NewsItem(
            item=f"correction-{correction}",
            on=on,
            title=say("Correction: {values}", values=_columns(lines)),
            text=" ".join(dict.fromkeys(wording.sentence(line.why) for line in lines)),
            links=(Link(say("All corrections"), urls.CORRECTIONS),),
        )


def _films(view: View) -> Iterator[NewsItem]:
    """Films, on the day they are out."""
    for film in view.films:
        if film.published_on is not None:
            yield NewsItem(
                item=f"film-{film.film}",
                on=film.published_on,
                title=say("Film: {title}", title=film.title),
                text=say("What it shows at which second, and what was corrected since."),
                links=(Link(film.title, urls.film_url(film.film)),),
            )


def _columns(lines: Sequence[typed.Correction]) -> str:
    named = dict.fromkeys(
        say(
            "{column} of {row}",
            column=wording.column_words(line.table, line.column),
            row=line.row.replace("|", ", "),
        )
        for line in lines
    )
    return figures.listing(list(named))


def _moved(source: SiteSource) -> Iterator[NewsItem]:
    """What moved with the latest bench day, where anything did."""
    view = source.view
    moved = [row for row in view.movements if row.bench_days == 1 and not row.is_pushed]
    days = [run.day_date for run in view.runs if run.status == "valid"]
    if moved:
        day_before = max(row.since for row in moved)
        since = day_before.isoformat()
        sentences = [
            source.sentences.movements[(since, row.setup, (row.protocol, row.version))]
            for row in moved
            if row.since == day_before and not row.is_within
        ]
        within = within_doubt(sum(row.since == day_before and row.is_within for row in moved))
        yield NewsItem(
            item=moved_anchor(since),
            on=max(days),
            title=say("What moved with the bench day of {day}", day=figures.day(max(days))),
            text=" ".join((*sentences, within)).strip(),
            links=(),
        )


def moved_anchor(since: str) -> str:
    """The fragment, on the page of news, of what moved since a date."""
    return f"moved-since-{since}"
