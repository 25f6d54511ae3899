"""What intake hands to the store: every table as typed and as corrected.

In:  rows that were read, checked and corrected.
Out: ``CheckedBench`` with a ``Table`` for each table of the bench, also where it has no row.

Short: what all later stages take from intake, apart from how it is read.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from trialpress.bench import Settings
from trialpress.intake.findings import Finding
from trialpress.intake.rows import Row, Tables
from trialpress.words import ENGLISH, Language


@dataclass(frozen=True)
class Table:
    """All rows of one table, from all its files, sorted by their paths.

    Both have the same rows in the same order; where none is corrected, they are the same object.
    """

    name: str
    as_typed: Sequence[Row]
    corrected: Sequence[Row]


@dataclass(frozen=True)
class CheckedBench:
    """A bench without errors.

    ``as_of`` says which corrections are applied and on which days the rules were checked; the
    tables hold all rows whatever it says. ``None`` means everything. ``findings`` are warnings;
    ``language`` is what the pages are written in.
    """

    settings: Settings
    as_of: date | None
    tables: Mapping[str, Table]
    methods: Mapping[str, str]
    findings: tuple[Finding, ...]
    language: Language = ENGLISH


def build_tables(typed: Tables, corrected: Tables) -> Mapping[str, Table]:
    """Put the rows of every table as typed beside those as corrected."""
    return {
        name: Table(name, rows, rows if corrected[name] == rows else corrected[name])
        for name, rows in typed.items()
    }
