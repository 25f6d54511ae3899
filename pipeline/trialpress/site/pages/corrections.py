"""Corrections, in the open: what was typed, what it is now, and why.

In:  the corrections in force and the warnings that stand.
Out: ``CorrectionsPage``, and the corrections that touched one machine.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from trialpress.site import urls, wording
from trialpress.site.frame import Frame, Link, frame_of
from trialpress.site.source import SiteSource
from trialpress.view import View, typed
from trialpress.words import figures, say, say_as

READING_TABLES = frozenset({"weighings", "values", "counts", "gradings"})


@dataclass(frozen=True)
class CorrectionLine:
    """One corrected value. ``about`` leads to the page that shows it."""

    corrected_on: str
    table: str
    row: str
    column: str
    was: str
    now: str
    why: str
    about: Link | None


@dataclass(frozen=True)
class WarningLine:
    """A warning on a row that is published all the same."""

    file: str
    row: str
    problem: str
    about: Link | None


@dataclass(frozen=True)
class CorrectionsPage:
    """Everything the page of corrections shows."""

    template: ClassVar[str] = "pages/corrections.html"
    frame: Frame
    corrections: tuple[CorrectionLine, ...]
    warnings: tuple[WarningLine, ...]


def corrections_page(source: SiteSource) -> CorrectionsPage:
    """The page of all corrections and of the warnings that stand."""
    view = source.view
    run_at = {(run.file, run.row): run for run in view.runs}
    return CorrectionsPage(
        frame=frame_of(
            view.settings,
            urls.CORRECTIONS,
            say("Corrections and warnings"),
            say(
                "Every value that was corrected after it was typed, with what it was, and every "
                "warning on a published row."
            ),
        ),
        corrections=tuple(_line(view, correction) for correction in view.corrections),
        warnings=tuple(
            WarningLine(
                file=warning.file,
                row="" if warning.row is None else str(warning.row),
                problem=wording.sentence(warning.problem),
                about=_about_run(view, run_at.get((warning.file, warning.row or 0))),
            )
            for warning in view.warnings
        ),
    )


def corrections_of_machine(view: View, machine: str) -> tuple[CorrectionLine, ...]:
    """The corrections of one machine's own row, its set-ups, runs, photos and claims."""
    return tuple(
        _line(view, correction)
        for correction in view.corrections
        if machine_of(view, correction) == machine
    )


def machine_of(view: View, correction: typed.Correction) -> str | None:
    """The machine whose page shows the corrected row; None where it belongs to no single one."""
    key = correction.row.partition("|")[0]
    match correction.table:
        case "machines":
            return key
        case "setups":
            return view.setup[key].machine
        case "claims":
            return next(claim.machine for claim in view.claims if claim.claim == key)
        case "photos":
            run = next(photo.run for photo in view.photos if photo.photo == key)
            return view.setup[view.run[run].setup].machine
        case table if table in READING_TABLES:
            return view.setup[view.run[key].setup].machine
        case _:
            return None


def _line(view: View, correction: typed.Correction) -> CorrectionLine:
    return CorrectionLine(
        corrected_on=figures.day(correction.corrected_on),
        table=correction.table,
        row=correction.row,
        column=wording.column_words(correction.table, correction.column),
        was=correction.was or _blank(),
        now=correction.now or _blank(),
        why=wording.sentence(correction.why),
        about=_about(view, correction),
    )


def _blank() -> str:
    return say_as("of a cell of a table", "blank")


def _about(view: View, correction: typed.Correction) -> Link | None:
    key = correction.row.partition("|")[0]
    if correction.table in READING_TABLES:
        return _about_run(view, view.run[key])
    machine = machine_of(view, correction)
    if machine is not None:
        return Link(view.names.machines[machine], urls.machine_url(machine))
    match correction.table:
        case "makers":
            return Link(view.maker[key].name, urls.maker_url(key))
        case "floors":
            return Link(view.floor[key].name, urls.floor_url(key))
        case "protocols":
            title = next(p.title for p in view.protocols if p.protocol == key)
            return Link(title, urls.method_url(key))
        case _:
            return None


def _about_run(view: View, run: typed.Run | None) -> Link | None:
    if run is None:
        return None
    machine = view.setup[run.setup].machine
    return Link(view.names.setups[run.setup].full, urls.run_url(machine, run.run))
