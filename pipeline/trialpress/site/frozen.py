"""What an edition's own file says of standings; nothing is worked out anew.

In:  an edition's zip.
Out: its standings as rows, and its change log.
"""

from __future__ import annotations

import math
import re
import sqlite3
from collections.abc import Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass, fields
from functools import cache, cached_property
from typing import get_type_hints

from trialpress.editions import Edition, UnsafeArchiveError, opened_archive
from trialpress.results.places import Top
from trialpress.store import read_sql
from trialpress.words import figures

DATABASE = "dataset.sqlite"
CHANGES = "CHANGES.md"
LARGEST_DATABASE = 1 << 31
LARGEST_CELL = 1 << 16
MOST_STEPS = 20_000_000
MOST_DECIMALS = 15
_SLUG = re.compile("[a-z0-9]+(-[a-z0-9]+)*")
_SLUGS = ("protocol", "setup", "machine")


@dataclass(frozen=True)
class FrozenStanding:
    """One line of a standing as an edition has it."""

    protocol: str
    version: int
    title: str
    unit: str
    is_current: int
    place: int
    setup: str
    machine: str
    maker_name: str
    machine_name: str
    label: str
    mean: float
    low: float | None
    high: float | None
    n: int
    place_best: int
    place_worst: int
    top: str
    decimals: int

    @property
    def odd_cell(self) -> str | None:
        """The first column whose cell no edition has; files and addresses are named by some."""
        for name, kind in _kinds().items():
            cell = getattr(self, name)
            is_slug = name not in _SLUGS or _SLUG.fullmatch(str(cell)) is not None
            is_finite = not isinstance(cell, float) or math.isfinite(cell)
            if not (isinstance(cell, kind) and is_slug and is_finite):
                return name
        if not 0 <= self.decimals <= MOST_DECIMALS:
            return "decimals"
        return None if self.top in set(Top) else "top"

    @property
    def key(self) -> str:
        """The line's name for programs: it stays the same in every edition."""
        return f"{self.protocol}|{self.version}|{self.setup}"

    @property
    def slug(self) -> str:
        """Its series as a file is named: the current one bears the protocol's name alone."""
        return self.protocol if self.is_current else f"{self.protocol}-v{self.version}"

    @property
    def value(self) -> str:
        """The mean with its published decimals."""
        return figures.number(self.mean, self.decimals)

    @property
    def interval(self) -> str:
        """Both ends of the interval; blank where there is none."""
        if self.low is None or self.high is None:
            return ""
        return figures.interval(self.low, self.high, self.decimals)


@cache
def _kinds() -> Mapping[str, type]:
    return get_type_hints(FrozenStanding)


@dataclass(frozen=True)
class FrozenEdition:
    """An edition, read where it is first asked for."""

    edition: Edition

    @cached_property
    def standings(self) -> Sequence[FrozenStanding]:
        """Every line of every standing, in their order.

        Raises
        ------
        UnsafeArchiveError
            If the edition's database is not one that this program can read.
        """
        names = [field.name for field in fields(FrozenStanding)]
        with opened_archive(self.edition.file) as archive:
            content = archive.read(DATABASE, LARGEST_DATABASE)
        try:
            with closing(sqlite3.connect(":memory:")) as database:
                database.deserialize(content)
                database.execute("pragma trusted_schema = off")
                database.setlimit(sqlite3.SQLITE_LIMIT_LENGTH, LARGEST_CELL)
                database.set_progress_handler(lambda: 1, MOST_STEPS)  # a view may never end
                cursor = database.execute(
                    read_sql("trialpress.site", "queries/frozen_standings.sql")
                )
                columns = [column[0] for column in cursor.description]
                rows = [dict(zip(columns, row, strict=True)) for row in cursor.fetchall()]
        except sqlite3.Error as error:
            reason = f"its {DATABASE} cannot be asked ({error})"
            raise UnsafeArchiveError(self.edition.file, reason) from None
        standings = tuple(FrozenStanding(**{name: row[name] for name in names}) for row in rows)
        for standing in standings:
            if odd := standing.odd_cell:
                reason = f"its {DATABASE} has a standing with the {odd} {getattr(standing, odd)!r}"
                raise UnsafeArchiveError(self.edition.file, reason)
        return standings

    @cached_property
    def changes(self) -> str:
        """The section of the change log that is the edition's own, in Markdown."""
        with opened_archive(self.edition.file) as archive:
            text = archive.read(CHANGES).decode("utf-8")
        _, _, rest = text.partition("\n")
        return rest.partition("\n## ")[0].strip()
