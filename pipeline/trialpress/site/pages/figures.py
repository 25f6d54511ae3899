"""How every figure of the site is made, in plain words, with sources and limits.

In:  the settings that the rules depend on.
Out: ``FiguresPage``; the words are in its template.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from trialpress.results.control_chart import EWMA_WEIGHT, FULL_BASELINE
from trialpress.results.levels import FEWEST_CELLS
from trialpress.results.spread import GUARD_DF
from trialpress.results.study import other_study_rows, study_rows
from trialpress.site import urls
from trialpress.site.frame import Frame, Link, frame_of
from trialpress.site.source import SiteSource
from trialpress.view import View, terms, verdicts
from trialpress.words import figures, say

PLUS_MINUS = "\N{NO-BREAK SPACE}\N{PLUS-MINUS SIGN}\N{NO-BREAK SPACE}"


@dataclass(frozen=True)
class StudyLine:
    """What the study says of a series like one of the bench; ``promised`` may be blank."""

    series: Link
    like: str
    errs: str
    promised: str
    plain: str
    power: str
    covered: str


@dataclass(frozen=True)
class FiguresPage:
    """What the page on the making of the figures is filled with."""

    template: ClassVar[str] = "pages/figures.html"
    frame: Frame
    readings: tuple[str, ...]
    cut: str
    one_in: str
    guard: str
    average_weight: str
    full_baseline: str
    fewest_by_level: str
    borrows: bool
    study: tuple[StudyLine, ...]
    largest_study: str
    overall_errs: str
    stopped: str
    planned: str
    example: Link | None


def figures_page(source: SiteSource) -> FiguresPage:
    """The page on the making of the figures."""
    view = source.view
    settings = view.settings
    used = {series.reading for series in view.series.values()}
    machine = next((row for row in view.machines if row.machine in source.worked), None)
    return FiguresPage(
        frame=frame_of(
            settings,
            urls.FIGURES,
            say("How the figures are made"),
            say(
                "Every rule behind the figures of this bench in plain words: values, uncertainty, "
                "places, verdicts, what they rest on and where they end."
            ),
            under=urls.METHODS,
        ),
        readings=tuple(kind for kind in terms.READINGS if kind in used),
        cut=verdicts.cut_words(settings.top_n),
        one_in=figures.typed_number(round(1 / (1 - settings.confidence), 1)),
        guard=figures.typed_number(GUARD_DF),
        average_weight=figures.typed_number(EWMA_WEIGHT),
        full_baseline=str(FULL_BASELINE),
        fewest_by_level=str(FEWEST_CELLS),
        borrows=settings.single_runs == "borrowed",
        study=tuple(_study_lines(view)),
        largest_study=str(max(row.set_ups for row in study_rows())),
        overall_errs=_overall_errs(),
        stopped=_studied("stopped"),
        planned=_studied("planned"),
        example=(
            Link(view.names.machines[machine.machine], urls.worked_url(machine.machine))
            if machine
            else None
        ),
    )


def _overall_errs() -> str:
    """The lowest and the highest share of benches with a false difference in the overall."""
    found = [r.false_separation for r in other_study_rows() if r.what.startswith("overall")]
    low, high = figures.number(min(found), 1), figures.number(max(found), 1)
    return say("{low} to {high}", low=low, high=high)


def _studied(what: str) -> str:
    (row,) = (row for row in other_study_rows() if row.what == what)
    return figures.number(row.false_separation, 1)


def _study_lines(view: View) -> Iterator[StudyLine]:
    """The row of the study that each current series is most like."""
    rows = {(row.set_ups, row.case): row for row in study_rows()}
    for spread in view.spreads:
        series = view.series[spread.protocol, spread.version]
        if spread.study_set_ups is None or spread.study_case is None or not series.is_current:
            continue
        row = rows[spread.study_set_ups, spread.study_case]
        error = figures.number(row.error, 1)
        yield StudyLine(
            series=Link(series.name.full, urls.standing_url(series)),
            like=say(
                "{here} set-ups here; studied with {set_ups}: {case}",
                here=spread.setups,
                set_ups=row.set_ups,
                case=terms.STUDY_CASES[row.case],
            ),
            errs=f"{figures.number(row.false_separation, 1)}{PLUS_MINUS}{error}",
            promised="" if row.promised is None else figures.typed_number(row.promised),
            plain=figures.number(row.plain, 1),
            power=figures.number(row.power, 0),
            covered=figures.number(row.noisiest, 0),
        )
