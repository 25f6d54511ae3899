"""Records that a plan starts from: how often each set-up was run, and how long runs take.

In:  nothing; ``View`` fills them from ``queries/tallies.sql`` and ``paces.sql``.
Out: the record types.

Short: plans ask other questions of the rows than pages do.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from trialpress.bench import applies_to


@dataclass(frozen=True)
class Tally:
    """How often one set-up was run in one series; ``version`` is the one to run now."""

    protocol: str
    version: int
    title: str
    reading: str
    floor: str | None
    unit: str
    min_runs: int
    matters: float
    dose_g: float | None
    dose_tolerance_g: float | None
    zones: int | None
    setup: str
    machine: str
    name: str
    is_reference: bool
    runs: int
    planned: int
    last_day: date | None
    kind: str
    kinds: str | None

    @property
    def is_meant(self) -> bool:
        """Whether the protocol is meant for this kind of machine."""
        return applies_to(self.kinds, self.kind)


@dataclass(frozen=True)
class Pace:
    """Minutes from one run to the next under one protocol, the median of ``gaps``."""

    protocol: str
    minutes: float
    gaps: int
