"""The record of what was published: addresses of the site's own pages, and where they have moved.

In:  ``data/published.csv``, where the bench has one.
Out: its rows, and findings for a header, an address or a date that cannot be one.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from trialpress.bench import Bench
from trialpress.intake.findings import Finding, FindingCode, Place, found
from trialpress.intake.textfile import read_text, split_rows

RECORD = "published.csv"
COLUMNS = ("url", "since", "moved_to")
WITHDRAWN = "withdrawn"
PAGE_ADDRESS = re.compile(r"([a-z0-9]+(-[a-z0-9]+)*/)*[a-z0-9]+(-[a-z0-9]+)*\.html")
"""How the site addresses its own pages, below its root: slugs, and ``.html``."""


@dataclass(frozen=True)
class PublishedRow:
    """One row, as typed; ``number`` is what a spreadsheet shows."""

    number: int
    url: str
    since: str
    moved_to: str


@dataclass(frozen=True)
class PublishedRecord:
    """All rows; with findings, the rows are not to be used."""

    rows: tuple[PublishedRow, ...]
    findings: tuple[Finding, ...]


def read_record(bench: Bench) -> PublishedRecord:
    """Read and check the record; without one nothing was published."""
    file = bench.data / RECORD
    name = bench.name_of(file)
    if not file.exists():
        return PublishedRecord((), ())
    read = read_text(file, name)
    if read.text is None:
        return PublishedRecord((), read.findings)
    try:
        header, *records = [*split_rows(read.text, strict=True)] or [[]]
    except csv.Error:
        broken = found(FindingCode.BROKEN_QUOTES, Place(name))
        return PublishedRecord((), (*read.findings, broken))
    if tuple(header) != COLUMNS:
        return PublishedRecord(
            (), (*read.findings, found(FindingCode.RECORD_HEADER, Place(name, 1)))
        )
    rows = tuple(
        PublishedRow(number, *[*cells, "", "", ""][: len(COLUMNS)])
        for number, cells in enumerate(records, 2)
        if any(cells)
    )
    faults = [fault for row in rows for fault in _faults(row, name)]
    return PublishedRecord(rows, (*read.findings, *faults))


def _faults(row: PublishedRow, name: str) -> Iterator[Finding]:
    if not PAGE_ADDRESS.fullmatch(row.url):
        yield found(FindingCode.RECORD_ADDRESS, Place(name, row.number, "url"), row.url)
    if row.moved_to not in {"", WITHDRAWN} and not PAGE_ADDRESS.fullmatch(row.moved_to):
        place = Place(name, row.number, "moved_to")
        yield found(FindingCode.RECORD_ADDRESS, place, row.moved_to, variant="moved")
    try:
        date.fromisoformat(row.since or "2000-01-01")
    except ValueError:
        yield found(FindingCode.RECORD_DATE, Place(name, row.number, "since"), row.since)
