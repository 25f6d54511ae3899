"""The schedule: which set-up is run when, and under which run id.

In:  the bench days, the protocols in force and the incidents.
Out: one slot a run, in the order the runs are made and typed.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import timedelta

from demo.days import DAYS, BenchDay, runs_wanted
from demo.incidents import PLANNED, VOIDS, RunKey
from demo.protocols import TRUTHS, protocol_on
from demo.rows import Protocol
from demo.true_means import REFERENCE, SETUP_TRUTHS

_RUNS_TO_A_BREAK, _BREAK_MINUTES = 12, 25


@dataclass(frozen=True)
class Slot:
    """One run before anything is read."""

    run: str
    at: str
    day: BenchDay
    setup: str
    protocol: Protocol
    replicate: int
    status: str

    @property
    def key(self) -> RunKey:
        """What the incidents know the run by."""
        return RunKey(
            self.setup, self.protocol.protocol, self.protocol.version, f"{self.replicate}"
        )

    @property
    def reason(self) -> str:
        """Why the run is void; blank where it is not."""
        return VOIDS[self.key].reason if self.key in VOIDS else ""

    @property
    def is_read(self) -> bool:
        """Whether readings were taken: not while it is planned, nor always where it is void."""
        if self.status == "planned":
            return False
        return self.key not in VOIDS or VOIDS[self.key].readings == "kept"


def schedule() -> tuple[Slot, ...]:
    """Every run of every day, in order; the runs still planned come last."""
    replicates: Counter[tuple[str, Protocol]] = Counter()
    slots: list[Slot] = []
    for day in DAYS:
        day_schedule = _DaySchedule(day, replicates)
        for setup, protocol in _runs_of(day):
            slots.append(day_schedule.next_run(setup, protocol))
            while slots[-1].status == "void":
                slots.append(day_schedule.next_run(setup, protocol))
    for setup, name in PLANNED:
        planned = day_schedule.next_run(setup, protocol_on(name, day_schedule.day.date))
        slots.append(replace(planned, status="planned"))
    return tuple(slots)


class _DaySchedule:
    """Numbers and times the runs of one day; the replicates go on from day to day."""

    def __init__(self, day: BenchDay, replicates: Counter[tuple[str, Protocol]]) -> None:
        self.day = day
        self._replicates = replicates
        self._number = 0
        self._time = day.opens

    def next_run(self, setup: str, protocol: Protocol) -> Slot:
        """The next run of the day."""
        self._move_on(TRUTHS[protocol.protocol].takes)
        self._replicates[setup, protocol] += 1
        replicate = self._replicates[setup, protocol]
        key = RunKey(setup, protocol.protocol, protocol.version, f"{replicate}")
        return Slot(
            run=f"{self.day.date}-{protocol.protocol}-{self._number:02}",
            at=self._time.isoformat(timespec="minutes") if self.day.starts else self.day.date,
            day=self.day,
            setup=setup,
            protocol=protocol,
            replicate=replicate,
            status="void" if key in VOIDS else "valid",
        )

    def _move_on(self, minutes: int) -> None:
        self._number += 1
        is_break = self._number % _RUNS_TO_A_BREAK == 0
        self._time += timedelta(minutes=minutes + (_BREAK_MINUTES if is_break else 0))


def _runs_of(day: BenchDay) -> Iterator[tuple[str, Protocol]]:
    """Set-ups take turns within a protocol; the reference machine opens and closes it."""
    for name in day.protocols.split():
        protocol = protocol_on(name, day.date)
        wanted = runs_wanted(day, name)
        if name in SETUP_TRUTHS[REFERENCE].true_means:
            yield REFERENCE, protocol
        for turn in range(max(wanted.values(), default=0)):
            yield from ((setup, protocol) for setup, runs in wanted.items() if turn < runs)
        if name in SETUP_TRUTHS[REFERENCE].true_means:
            yield REFERENCE, protocol
