"""``published.csv``: every page that was ever published, appended to and never rewritten.

In:  the bench, and the pages that have just gone out or were let go.
Out: the pages on record, by address below the site; new rows appended, safe on the disk.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from trialpress.bench import Bench
from trialpress.desk.append import append_rows
from trialpress.intake.published import COLUMNS, RECORD, WITHDRAWN
from trialpress.lock import locked
from trialpress.site.permanence import read_published


@dataclass(frozen=True)
class Record:
    """``standing`` are pages that have neither moved nor were withdrawn by a date."""

    known: frozenset[str]
    standing: frozenset[str]
    withdrawn: frozenset[str]


def read_record(bench: Bench, as_of: date) -> Record:
    """Read the record; a row counts from its ``since`` on, the last row of an address holds.

    Raises
    ------
    FaultyBenchError
        If the record has faults.
    """
    held = read_published(bench, as_of)
    return Record(
        known=frozenset(read_published(bench, date.max)),
        standing=frozenset(url for url, target in held.items() if not target),
        withdrawn=frozenset(url for url, target in held.items() if target == WITHDRAWN),
    )


def record_published(
    bench: Bench, pages: Iterable[str], withdrawn: Iterable[str], today: date
) -> None:
    """Append pages that are not on record or are back again, and those that were let go."""
    with locked(bench):
        record = read_record(bench, today)
        out = set(pages)
        new = sorted(out - record.known | out & record.withdrawn)
        gone = sorted(set(withdrawn) - record.withdrawn)
        rows = [{"url": url, "since": today.isoformat()} for url in new]
        rows += [{"url": url, "since": today.isoformat(), "moved_to": WITHDRAWN} for url in gone]
        if rows:
            append_rows(bench.data / RECORD, COLUMNS, rows)
