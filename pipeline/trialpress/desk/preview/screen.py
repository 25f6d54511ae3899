"""What the screen at the bench shows while a run is typed: dose, gain, the share, where it stands.

In:  the drafts of the bench sheet and what was said of them, as they come.
Out: JSON for the page that is filmed; of a set-up under embargo nothing but that one is typed,
     unless the page asks for it.
"""

from __future__ import annotations

import threading
from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass, field
from decimal import Decimal, InvalidOperation

from trialpress.desk.preview.pages import json_answer
from trialpress.desk.preview.site_files import Answer
from trialpress.desk.preview.watcher import Watcher
from trialpress.desk.sheet.assessment import Assessment
from trialpress.desk.sheet.choices import ProtocolChoice
from trialpress.desk.sheet.draft import Draft
from trialpress.desk.sheet.typed_result import typed_result
from trialpress.intake.embargo import embargoes_of
from trialpress.words import figures

EMBARGOED = "embargoed"
"""What an address ends with that asks for set-ups under embargo too."""
AT_ONCE = "as typed; its uncertainty and place follow"
SHOWN = {
    "dose_g": "dose",
    "before_g": "before",
    "after_g": "after",
    "blank_g": "blank",
    "value": "reading",
    "hits": "hits",
    "tries": "tries",
}
"""The cells that are shown as they are typed, and what they are called; ``gain`` is worked out."""


@dataclass
class Screen:
    """The last run that was typed in this preview; hearing and showing are two threads."""

    watcher: Watcher
    _draft: Draft | None = None
    _assessment: Assessment | None = None
    _count: int = 0
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def hear(self, draft: Draft, assessment: Assessment | None = None) -> None:
        """Take over what is typed; without an assessment there is none yet."""
        with self._lock:
            if assessment is None or draft == self._draft:
                self._draft, self._assessment = draft, assessment
                self._count += 1

    def shown(self, *, is_asked: bool) -> Mapping[str, object]:
        """What the page shows; ``is_asked`` where set-ups under embargo may be shown."""
        with self._lock:
            draft, assessment, count = self._draft, self._assessment, self._count
        if draft is None:
            return {"count": count}
        if draft.rows[0].get("setup") in self.hidden and not is_asked:
            return {"count": count, "is_hidden": True}
        result = self._as_typed(draft) if assessment is None else _said(assessment)
        return {"count": count, **self._run(draft), **result}

    def answer(self, query: str) -> Answer:
        """What the page shows, by the end of its address."""
        return json_answer(self.shown(is_asked=EMBARGOED in query.split("&")))

    @property
    def hidden(self) -> frozenset[str]:
        """The set-ups under embargo today."""
        state = self.watcher.state
        if state is None or state.checked is None:
            return frozenset()
        return frozenset(embargoes_of(state.checked, self.watcher.as_of()))

    def _run(self, draft: Draft) -> Mapping[str, object]:
        row, choices = draft.rows[0], self.watcher.choices
        names = {one.setup: one.name for one in choices.setups} if choices else {}
        method = self._method(draft)
        return {
            "run": draft.run,
            "name": names.get(row.get("setup", ""), row.get("setup", "")),
            "title": method.title if method else row.get("protocol", ""),
            "cells": [*_cells(row, method.unit if method else "")],
        }

    def _as_typed(self, draft: Draft) -> Mapping[str, object]:
        """The result at once: where it would stand takes the whole bench, and comes after it."""
        state, method = self.watcher.state, self._method(draft)
        if state is None or state.checked is None or method is None:
            return {}
        result = typed_result(state.checked, draft)
        if result is None:
            return {}
        if method.reading == "value":
            words = figures.plain(str(result))
        else:
            words = figures.number(float(result), 1)
        return {"value": figures.with_unit(words, method.unit), "uncertainty": AT_ONCE}

    def _method(self, draft: Draft) -> ProtocolChoice | None:
        """The version of the protocol that a draft is a run of."""
        row, choices = draft.rows[0], self.watcher.choices
        wanted = (row.get("protocol"), row.get("version"))
        methods = choices.methods if choices else ()
        return next((m for m in methods if (m.protocol, str(m.version)) == wanted), None)


def _cells(row: Mapping[str, str], unit: str) -> Iterator[tuple[str, str, str]]:
    """What was typed so far: what it is, the figure, its unit."""
    for column, name in SHOWN.items():
        if row.get(column):
            yield name, row[column], "g" if column.endswith("_g") else unit_of(column, unit)
    gain = gain_of(row)
    if gain is not None:
        yield "gain", figures.plain(str(gain)), "g"


def unit_of(column: str, unit: str) -> str:
    """The unit of a reading that is no mass: counts have none."""
    return unit if column == "value" else ""


def gain_of(row: Mapping[str, str]) -> Decimal | None:
    """What the container gained, with the digits that were typed; None while a mass is missing."""
    try:
        if row.get("gain_g"):
            gain = Decimal(row["gain_g"])
        else:
            gain = Decimal(row["after_g"]) - Decimal(row["before_g"])
        return gain - Decimal(row.get("blank_g") or "0")
    except (KeyError, InvalidOperation):
        return None


def _said(assessment: Assessment) -> Mapping[str, object]:
    """The value and where it would stand; nothing of a run that could not be kept."""
    if assessment.value is None or not assessment.may_be_kept:
        return {}
    stands = asdict(assessment.stands) if assessment.stands else None
    return {"value": assessment.value, "uncertainty": assessment.uncertainty, "stands": stands}
