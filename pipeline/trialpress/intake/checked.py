"""What intake hands to the store: every table as typed and as corrected.

In:  tables that were read and checked.
Out: the dataclasses ``Table`` and ``CheckedBench``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from trialpress.bench import Settings
from trialpress.intake.findings import Finding
from trialpress.words import ENGLISH, Language

if TYPE_CHECKING:
    import pandas as pd

# Not "file" and "row": photos has a column `file`, corrections a column `row`.
SOURCE_COLUMNS = ("source_file", "source_row", "day", "day_date")


@dataclass(frozen=True)
class Table:
    """All rows of one table, from all its files.

    Both frames have the same rows in the same order (files sorted by path), every column of the
    schema as text with ``None`` for blank, and ``SOURCE_COLUMNS`` after them: ``source_file``
    relative to the bench, ``source_row`` as a spreadsheet shows it (the header is 1), ``day`` the
    day's folder name and ``day_date`` its date (both ``None`` outside the days).
    """

    name: str
    as_typed: pd.DataFrame
    corrected: pd.DataFrame


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
