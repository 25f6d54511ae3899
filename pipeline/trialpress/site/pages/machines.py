"""The list of all machines.

In:  machines and what was run with them.
Out: ``MachinesPage``.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from trialpress.site import urls, wording
from trialpress.site.frame import Frame, Link, frame_of
from trialpress.site.pages.filters import (
    FilterChoices,
    FilterKeys,
    filter_choices,
    machine_keys,
)
from trialpress.site.source import SiteSource
from trialpress.view import View, terms, typed
from trialpress.view.terms import kind_name
from trialpress.words import figures, say

MOST = 4
"""One of so many may differ from the others before a list says it row by row."""


@dataclass(frozen=True)
class MachineRow:
    """One machine. ``*_key`` are what a column is sorted by.

    ``overall`` is its best place among the overall ones, ``of_tried`` of how many set-ups.
    """

    slug: str
    keys: FilterKeys
    machine: Link
    overall: str
    overall_key: str
    of_tried: str
    kind: str
    head: str
    price: str
    price_key: str
    acquired: str
    setups: str
    runs: str
    first_day: str
    first_day_key: str


@dataclass(frozen=True)
class MachinesPage:
    """Everything the list of machines shows.

    ``came_here`` says how most came to the bench and which did not, where most came in one way.
    """

    template: ClassVar[str] = "pages/machines.html"
    frame: Frame
    choices: FilterChoices
    came_here: str
    rows: tuple[MachineRow, ...]


def machines_page(source: SiteSource) -> MachinesPage:
    """The list of all machines."""
    view = source.view
    return MachinesPage(
        frame=frame_of(
            view.settings,
            urls.MACHINES,
            say("Machines"),
            say(
                "All {machines} on this bench: kind, price, how each came here, and how often it "
                "was run.",
                machines=figures.count(len(view.machines), "machine", "machines"),
            ),
        ),
        choices=filter_choices(view, [setup.setup for setup in view.setups], len(view.machines)),
        came_here=_came_here(view),
        rows=tuple(_row(view, machine) for machine in view.machines),
    )


def _came_here(view: View) -> str:
    """How most machines came here, said once; blank where no way is that of most."""
    ways = Counter(machine.acquired for machine in view.machines)
    usual, count = ways.most_common(1)[0] if ways else ("", 0)
    if MOST * count < (MOST - 1) * len(view.machines) or not usual:
        return ""
    others = [
        f"{view.names.machines[machine.machine]} ({terms.ACQUIRED[machine.acquired]})"
        for machine in view.machines
        if machine.acquired != usual
    ]
    way = {"way": wording.capitalised(terms.ACQUIRED[usual])}
    if not others:
        return say("{way}: all of them.", **way)
    return say("{way}: all but {others}.", others=figures.listing(others), **way)


def _overall(view: View, setups: Sequence[typed.Setup]) -> tuple[str, str, str]:
    """The best overall place of some set-ups with its range, what it is sorted by, of how many."""
    slugs = {setup.setup for setup in setups}
    placed = [row for row in view.overall if row.setup in slugs]
    if not placed:
        return "", "", ""
    best = min(placed, key=lambda row: row.place)
    places = figures.places(best.place_best, best.place_worst)
    of_tried = say("best of {tried} set-ups", tried=len(placed)) if len(placed) > 1 else ""
    return f"{best.place} ({places})", str(best.place), of_tried


def _row(view: View, machine: typed.Machine) -> MachineRow:
    setups = view.setups_of.get(machine.machine, ())
    overall, overall_key, of_tried = _overall(view, setups)
    valid = sum(view.valid_runs[setup.setup] for setup in setups)
    return MachineRow(
        slug=machine.machine,
        keys=machine_keys(view, machine, is_complete=bool(overall)),
        overall=overall,
        overall_key=overall_key,
        of_tried=of_tried,
        machine=Link(view.names.machines[machine.machine], urls.machine_url(machine.machine)),
        kind=kind_name(machine.kind),
        head=machine.head or "",
        price="" if machine.price is None else figures.money(machine.price, machine.currency or ""),
        price_key="" if machine.price is None else f"{machine.price:.12g}",
        acquired=terms.ACQUIRED[machine.acquired],
        setups=str(len(setups)),
        runs=str(valid),
        first_day=figures.day(machine.first_day) if machine.first_day else "",
        first_day_key=machine.first_day.isoformat() if machine.first_day else "",
    )
