"""How the standings of one machine were worked out, step by step.

In:  the explanations of its set-ups' standings.
Out: ``WorkedPage``, to be followed with a pocket calculator; a run leads to its file and row.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from trialpress.explain import CellExplanation
from trialpress.site import urls, wording
from trialpress.site.frame import Frame, Link, frame_of
from trialpress.site.pages.runs import run_decimals
from trialpress.site.source import SiteSource
from trialpress.view import typed
from trialpress.words import figures, say


@dataclass(frozen=True)
class WorkedRun:
    """One run and what it brings."""

    run: Link
    day: str
    value: str
    uncertainty: str


@dataclass(frozen=True)
class WorkedStep:
    """One step: what, the formula with its numbers, the outcome."""

    what: str
    formula: str
    outcome: str


@dataclass(frozen=True)
class WorkedStanding:
    """One standing worked out; ``anchor`` is its fragment, ``against`` measures all against it."""

    anchor: str
    series: Link
    setup: str
    unit: str
    runs: tuple[WorkedRun, ...]
    steps: tuple[WorkedStep, ...]
    place: str
    against: str


@dataclass(frozen=True)
class WorkedPage:
    """Everything the page with the working-out shows."""

    template: ClassVar[str] = "pages/worked.html"
    frame: Frame
    machine: Link
    command: str
    standings: tuple[WorkedStanding, ...]


def worked_page(source: SiteSource, machine: typed.Machine) -> WorkedPage:
    """The working-out of one machine's standings."""
    view = source.view
    name = view.names.machines[machine.machine]
    cells = source.worked[machine.machine]
    return WorkedPage(
        frame=frame_of(
            view.settings,
            urls.worked_url(machine.machine),
            say("{machine}, worked out", machine=name),
            say(
                "{machine}: how each of its means, intervals and places came about, with every "
                "number.",
                machine=name,
            ),
            under=urls.MACHINES,
        ),
        machine=Link(name, urls.machine_url(machine.machine)),
        command=f"trialpress explain {cells[0].setup} {cells[0].protocol}",
        standings=tuple(_standing(source, cell) for cell in cells),
    )


def _standing(source: SiteSource, cell: CellExplanation) -> WorkedStanding:
    view = source.view
    series = view.series[(cell.protocol, cell.version)]
    return WorkedStanding(
        anchor=f"{cell.setup}-{cell.protocol}-v{cell.version}",
        series=Link(series.name.full, urls.standing_url(series)),
        setup=view.setup[cell.setup].label,
        unit=cell.unit,
        runs=_runs(source, cell),
        steps=tuple(
            WorkedStep(step.what, wording.formula(step.formula), step.outcome)
            for step in cell.steps
        ),
        place=" ".join(filter(None, (_place(cell), _marks(cell), cell.chance))),
        against=urls.against_url(series, cell.setup),
    )


def _runs(source: SiteSource, cell: CellExplanation) -> tuple[WorkedRun, ...]:
    view = source.view
    machine = view.setup[cell.setup].machine
    decimals = run_decimals(source, (cell.protocol, cell.version))
    return tuple(
        WorkedRun(
            run=Link(line.run, urls.run_url(machine, line.run)),
            day=figures.day(view.run[line.run].day_date),
            value=figures.number(line.value, decimals),
            uncertainty=wording.uncertainty(line.u_value, decimals),
        )
        for line in cell.runs
    )


def _place(cell: CellExplanation) -> str:
    better, worse = cell.place_best - 1, cell.set_ups - cell.place_worst
    # For translators: {places} is such as "places 4 to 9".
    return say(
        "Place {place} of {ranked} by mean. The runs show {better} of the others to be better and "
        "{worse} to be worse, so it could be {places}.",
        place=cell.place,
        ranked=cell.set_ups,
        better=better,
        worse=worse,
        places=figures.places_spoken(cell.place_best, cell.place_worst),
    )


def _marks(cell: CellExplanation) -> str:
    """What must be known before the place is used; or blank."""
    # For translators: {marks} is such as "provisional; in one sitting".
    return say("Marked: {marks}.", marks="; ".join(cell.marks)) if cell.marks else ""
