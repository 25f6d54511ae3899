"""``published.csv``: every address that was ever published, appended to and never rewritten.

In:  the bench, and the addresses that have just gone out.
Out: the addresses on record, and where some have moved to; new ones appended, safe on the disk.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from trialpress.bench import Bench
from trialpress.desk.append import append_rows, read_table_text

COLUMNS = ("url", "since", "moved_to")


@dataclass(frozen=True)
class Record:
    """``known`` are all addresses on record, ``standing`` those that have not moved by a date."""

    known: frozenset[str]
    standing: frozenset[str]


def record_file(bench: Bench) -> Path:
    """Where the record is."""
    return bench.data / "published.csv"


def read_record(bench: Bench, as_of: date) -> Record:
    """Read the record; a row counts from its ``since`` on, the last row of an address holds.

    Raises
    ------
    UnreadableTableError
        If the file is there and is no table.
    """
    table = read_table_text(record_file(bench))
    known, standing = set[str](), set[str]()
    for record in table.records[1:] if table else ():
        row = dict(zip(table.columns, record, strict=False)) if table else {}
        url = row.get("url", "")
        if not url:
            continue
        known.add(url)
        if row.get("since", "") <= as_of.isoformat():
            (standing.discard if row.get("moved_to") else standing.add)(url)
    return Record(frozenset(known), frozenset(standing))


def record_published(bench: Bench, urls: Iterable[str], today: date) -> tuple[str, ...]:
    """Append the addresses that are not on record yet; those that were added."""
    known = read_record(bench, today).known
    new = tuple(sorted(set(urls) - known))
    if new:
        rows = [{"url": url, "since": today.isoformat()} for url in new]
        append_rows(record_file(bench), COLUMNS, rows)
    return new
