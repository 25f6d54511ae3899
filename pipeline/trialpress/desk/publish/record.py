"""``published.csv``: every page that was ever published, appended to and never rewritten.

In:  the bench, and the pages that are to go out, have just gone out or were let go.
Out: the pages on record, by address below the site; those of them that would vanish; new rows
     appended, safe on the disk.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from trialpress.bench import Bench
from trialpress.desk.append import append_rows
from trialpress.desk.publish.site import Site, pages_among
from trialpress.errors import UsageError
from trialpress.intake.published import COLUMNS, RECORD, WITHDRAWN
from trialpress.lock import locked
from trialpress.site.permanence import read_published


class VanishingPagesError(UsageError):
    """Addresses that were published would lead nowhere."""

    def __init__(self, urls: Iterable[str]) -> None:
        listed = "\n".join(f"  {url}" for url in urls)
        super().__init__(
            f"These pages were published and would vanish:\n{listed}\n"
            "Bring them back, or say in data/published.csv where each moved to and build again, "
            "or publish with --allow-missing, which records them there as withdrawn."
        )


@dataclass(frozen=True)
class PublishedPages:
    """``standing`` are pages that have neither moved nor were withdrawn by a date."""

    known: frozenset[str]
    standing: frozenset[str]
    withdrawn: frozenset[str]


def read_published_pages(bench: Bench, as_of: date) -> PublishedPages:
    """Read the record; a row counts from its ``since`` on, the last row of an address holds.

    Raises
    ------
    FaultyBenchError
        If the record has faults.
    """
    held = read_published(bench, as_of)
    return PublishedPages(
        known=frozenset(read_published(bench, date.max)),
        standing=frozenset(url for url, target in held.items() if not target),
        withdrawn=frozenset(url for url, target in held.items() if target == WITHDRAWN),
    )


def record_published(
    bench: Bench, pages: Iterable[str], withdrawn: Iterable[str], today: date
) -> None:
    """Append pages that are not on record or are back again, and those that were let go."""
    with locked(bench):
        published = read_published_pages(bench, today)
        out = set(pages)
        new = sorted(out - published.known | out & published.withdrawn)
        gone = sorted(set(withdrawn) - published.withdrawn)
        rows = [{"url": url, "since": today.isoformat()} for url in new]
        rows += [{"url": url, "since": today.isoformat(), "moved_to": WITHDRAWN} for url in gone]
        if rows:
            append_rows(bench.data / RECORD, COLUMNS, rows)


def vanishing(site: Site, live: Iterable[str], published: PublishedPages) -> tuple[str, ...]:
    """The pages that would lead nowhere, and that nobody has withdrawn yet.

    Parameters
    ----------
    site : Site
        What is to be published.
    live : iterable of str
        Paths the target holds now.
    published : PublishedPages
        What was published before.
    """
    wanted = {*pages_among(live), *published.standing}
    return tuple(sorted(wanted - published.withdrawn - set(site.pages)))
