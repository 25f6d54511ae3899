"""Pages that were published once stay, or lead to where they have moved.

In:  ``data/published.csv`` (url, since, moved_to) and the pages of this build.
Out: the stub pages that lead on, or an error that names every page that would vanish. A row counts
     from its ``since`` on, and the last row of an address holds. One whose ``moved_to`` says
     withdrawn was taken away on purpose.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import ClassVar

from trialpress.bench import Bench, Settings
from trialpress.errors import FaultyDataError
from trialpress.intake import FaultyBenchError
from trialpress.intake.published import RECORD, WITHDRAWN, read_record
from trialpress.site import urls
from trialpress.site.frame import Frame, Link, frame_of
from trialpress.words import say


class VanishedPagesError(FaultyDataError):
    """Pages that were published are not in this build, and nothing says where they went."""

    def __init__(self, file: str, vanished: Collection[str]) -> None:
        listed = "\n".join(f"  {url}" for url in sorted(vanished))
        super().__init__(
            f"{file} has pages that this build would not write any more:\n{listed}\n"
            "Links to them would lead nowhere. Bring back what they showed, or fill in moved_to: "
            "the page of this site that takes its place, or the word withdrawn."
        )


class WrongMoveError(FaultyDataError):
    """A page is said to have moved to one that is not there."""

    def __init__(self, file: str, url: str, target: str) -> None:
        super().__init__(
            f"{file}, {url}: moved_to says {target}, and this site has no such page. "
            "Name a page as its address below the site reads, such as machines/index.html."
        )


@dataclass(frozen=True)
class MovedPage:
    """What stands at an address whose page has moved; ``refresh`` is where a browser goes on."""

    template: ClassVar[str] = "pages/moved.html"
    frame: Frame
    target: Link
    refresh: str


def read_published(bench: Bench, as_of: date) -> Mapping[str, str]:
    """Addresses published by a date, each with where it has moved to; blank where it has not.

    Raises
    ------
    FaultyBenchError
        If the record has faults.
    """
    record = read_record(bench)
    if record.findings:
        raise FaultyBenchError(record.findings)
    return {row.url: row.moved_to for row in record.rows if row.since <= as_of.isoformat()}


def moved_pages(
    settings: Settings, bench: Bench, as_of: date, written: Mapping[str, str]
) -> Iterator[MovedPage]:
    """A page for every published address that this build has no other page for.

    Parameters
    ----------
    settings : Settings
        Of the bench.
    bench : Bench
        For its record of what was published.
    as_of : date
        Later rows of the record do not count yet.
    written : mapping
        Titles of the pages of this build by their addresses below the site.

    Raises
    ------
    VanishedPagesError
        If a published page is not written and nothing says where it has moved.
    WrongMoveError
        If it is said to have moved to a page that is not there.
    """
    record = read_published(bench, as_of)
    name = bench.name_of(bench.data / RECORD)
    missing = {url: _end_of(url, record) for url in record if url not in written}
    gone = {url: target for url, target in missing.items() if target != WITHDRAWN}
    vanished = [url for url, target in gone.items() if not target]
    if vanished:
        raise VanishedPagesError(name, vanished)
    for url, target in sorted(gone.items()):
        if target not in written:
            raise WrongMoveError(name, url, target)
        yield _moved_page(settings, url, Link(written[target], target))


def _end_of(url: str, record: Mapping[str, str]) -> str:
    """Where an address leads in the end, over several moves; blank where that is not said."""
    seen = {url}
    target = record[url]
    while target in record and record[target] and target not in seen:
        seen.add(target)
        target = record[target]
    return target


def _moved_page(settings: Settings, url: str, target: Link) -> MovedPage:
    title, description = say("Moved: {url}", url=url), say("Now at {page}.", page=target.words)
    frame = frame_of(settings, url, title, description)
    return MovedPage(
        frame=replace(frame, canonical=settings.base_url + target.url),
        target=target,
        refresh=urls.root_from(url) + target.url,
    )
