"""Which runs are missing.

In:  a measured store: how often each set-up was run in each series that is still run.
Out: one ``Missing`` for each set-up and series that wants runs, with the reason.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import groupby

from trialpress.view.plans import Tally


class MissingReason(StrEnum):
    """Why runs are wanted; the value is what people and programs read."""

    TOO_FEW = "fewer runs than the protocol asks for"
    SIBLING = "another set-up of this machine was run"
    NOT_RUN = "not run in it yet"
    NEVER = "the protocol was never run"
    REFERENCE = "reference due"


@dataclass(frozen=True)
class Missing:
    """Runs that a set-up wants in a series; ``runs`` are those to make, ``made`` those there."""

    tally: Tally
    runs: int
    reason: MissingReason

    @property
    def text(self) -> str:
        """One line for people."""
        noun = "run" if self.runs == 1 else "runs"
        made = f"{self.tally.runs} of {self.tally.min_runs} made"
        planned = f", {self.tally.planned} planned" if self.tally.planned else ""
        return f"{self.tally.setup}: {self.runs} {noun} ({self.reason}; {made}{planned})"


def missing_runs(tallies: Sequence[Tally]) -> tuple[Missing, ...]:
    """All runs that are missing, series by series.

    Parameters
    ----------
    tallies : sequence of Tally
        Those of one series beside each other.
    """
    return tuple(
        missing
        for _, series in groupby(tallies, key=lambda tally: (tally.protocol, tally.version))
        for missing in _missing_in(list(series))
    )


def _missing_in(series: Sequence[Tally]) -> Iterator[Missing]:
    meant = [tally for tally in series if tally.is_meant]
    if not any(tally.runs for tally in series):
        for tally in meant:
            yield from _some(tally, tally.min_runs, MissingReason.NEVER)
        return
    tried = {tally.machine for tally in series if tally.runs}
    latest = max(tally.last_day for tally in series if tally.last_day is not None)
    for tally in meant:
        if tally.runs and tally.runs < tally.min_runs:
            yield from _some(tally, tally.min_runs - tally.runs, MissingReason.TOO_FEW)
        elif tally.is_reference and tally.last_day != latest:
            yield from _some(tally, 1, MissingReason.REFERENCE)
        elif not tally.runs:
            reason = MissingReason.SIBLING if tally.machine in tried else MissingReason.NOT_RUN
            yield from _some(tally, tally.min_runs, reason)


def _some(tally: Tally, runs: int, reason: MissingReason) -> Iterator[Missing]:
    """Runs that are planned already are not asked for again."""
    if runs > tally.planned:
        yield Missing(tally, runs - tally.planned, reason)


def of_protocol(missing: Iterable[Missing], protocol: str | None) -> tuple[Missing, ...]:
    """Those of one protocol; all of them where none is named."""
    return tuple(shortfall for shortfall in missing if protocol in {None, shortfall.tally.protocol})
