"""The catalogue in forms, beside the bench sheet: what is there, what a row would be, keep, undo.

In:  JSON from the page of this session.
Out: JSON; one row added to a file of the catalogue, or changed in it, or put back.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass

from trialpress.bench import Bench
from trialpress.desk.catalogue.entry import PROTOCOLS, EntryError, read_entry
from trialpress.desk.catalogue.keeping import judge, keep, last_kept, undo
from trialpress.desk.catalogue.offering import NOUNS, offer, proposals, read_rows
from trialpress.desk.catalogue.starters import starters
from trialpress.desk.catalogue.tables import ENTERED, method_of
from trialpress.desk.preview.events import MOST_FINDINGS
from trialpress.desk.preview.pages import Json, Question
from trialpress.desk.preview.watcher import Watcher
from trialpress.errors import FaultyDataError
from trialpress.glossary import explained
from trialpress.intake import read_schema


@dataclass
class CataloguePage:
    """Answers for one preview; the bench's lock keeps two writers apart."""

    watcher: Watcher

    @property
    def questions(self) -> Mapping[str, Question]:
        """What the page may ask, by the last part of the address."""
        return {"offer": self.offer, "judge": self.judge, "keep": self.keep, "undo": self.undo}

    @property
    def bench(self) -> Bench:
        """The bench."""
        return self.watcher.bench

    def offer(self, _: object) -> Json:
        """Every table with its rows and columns, the kinds of trial, what would be undone."""
        tables = [*map(self._table, ENTERED)]
        return {
            "tables": tables,
            "starters": [
                {"name": starter.name, "cells": starter.cells, "method": starter.method("")}
                for starter in starters().values()
            ],
            "methods": dict(self._methods(tables)),
            "words": explained(" ".join(_texts())),
            "undo": last_kept(self.bench),
        }

    def judge(self, sent: object) -> Json:
        """What a row would be, with what is proposed for the columns nobody has touched."""
        entry = read_entry(sent)
        proposed: dict[str, str] = {}
        if entry.key is None:
            untouched = _names(sent)
            rows = read_rows(self.bench, [entry.table])
            usual = proposals(entry.table, entry.cells, rows, self.watcher.as_of())
            proposed = {column: text for column, text in usual.items() if column in untouched}
        verdict = judge(self.bench, entry.with_cells(proposed), self.watcher.findings)
        return {
            "proposed": proposed,
            "may_be_kept": verdict.may_be_kept,
            "findings": [finding.as_json() for finding in verdict.findings[:MOST_FINDINGS]],
            "in_all": len(verdict.findings),
        }

    def keep(self, sent: object) -> Json:
        """Write a row, unless it would stop the build; to keep one twice is no fault."""
        kept = keep(self.bench, read_entry(sent))
        return {"file": kept.file, "row": kept.row, "was_new": kept.is_new}

    def undo(self, _: object) -> Json:
        """Put back the last row that was added or changed."""
        return {"undone": undo(self.bench)}

    def _table(self, table: str) -> Json:
        """One table; one that cannot be read says why, and the others are there all the same."""
        try:
            return asdict(offer(self.bench, table, read_rows(self.bench, [table])))
        except FaultyDataError as error:
            title = read_schema(table).title
            return {"table": table, "noun": NOUNS[table], "title": title, "problem": str(error)}

    def _methods(self, tables: list[Json]) -> Iterator[tuple[str, str]]:
        """The texts that say how runs are made; one that cannot be read is left alone."""
        rows = next(t.get("rows", ()) for t in tables if t["table"] == PROTOCOLS)
        for protocol in dict.fromkeys(row["key"][0] for row in rows):  # type: ignore[attr-defined]
            try:
                text = method_of(self.bench, protocol)
            except FaultyDataError:
                continue
            if text is not None:
                yield protocol, text


def _texts() -> Iterator[str]:
    """What the page says of tables and columns, to explain its words."""
    for table in ENTERED:
        schema = read_schema(table)
        yield f"{NOUNS[table]} {schema.description}"
        yield from (f"{field.name} {field.meaning}" for field in schema.fields)


def _names(sent: object) -> frozenset[str]:
    names = sent.get("untouched", []) if isinstance(sent, dict) else []
    if not isinstance(names, list) or not all(isinstance(name, str) for name in names):
        raise EntryError("What was sent names no columns")
    return frozenset(names)
