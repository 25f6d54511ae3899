"""The list of all machines.

In:  machines and what was run with them.
Out: ``MachinesPage``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from trialpress.site import urls
from trialpress.site.frame import Frame, Link, frame_of
from trialpress.site.material import Material
from trialpress.view import View, terms, typed
from trialpress.view.terms import kind_name
from trialpress.words import figures, say


@dataclass(frozen=True)
class MachineRow:
    """One machine. ``*_key`` are what a column is sorted by."""

    machine: Link
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
    """Everything the list of machines shows."""

    template: ClassVar[str] = "pages/machines.html"
    frame: Frame
    rows: tuple[MachineRow, ...]


def machines_page(material: Material) -> MachinesPage:
    """The list of all machines."""
    view = material.view
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
        rows=tuple(_row(view, machine) for machine in view.machines),
    )


def _row(view: View, machine: typed.Machine) -> MachineRow:
    setups = view.setups_of.get(machine.machine, ())
    slugs = {setup.setup for setup in setups}
    valid = sum(run.status == "valid" and run.setup in slugs for run in view.runs)
    return MachineRow(
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
