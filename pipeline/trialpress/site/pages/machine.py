"""The page of one machine: where it stands, and every run, claim, photo and correction behind it.

In:  one machine, its set-ups, and everything that was read of them.
Out: ``MachinePage``.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from trialpress.charts import Strips
from trialpress.site import urls, wording
from trialpress.site.films import Moment, moments_of_machine
from trialpress.site.frame import Frame, Link, frame_of
from trialpress.site.pages.claims import ClaimRow, claim_row, spoken
from trialpress.site.pages.corrections import CorrectionLine, corrections_of_machine
from trialpress.site.pages.lines import StandingLine
from trialpress.site.pages.parameters import Entry
from trialpress.site.pages.runs import RunsOfSeries, missing_runs, runs_of_setups
from trialpress.site.pages.setup_pairs import SetupPair, setup_pairs
from trialpress.site.photos import RunPhoto, photos_of_machine
from trialpress.site.source import SiteSource
from trialpress.site.summaries import setup_summary
from trialpress.view import SeriesKey, View, terms, typed, verdicts
from trialpress.view.comparisons import RELATIONS, PairVerdict
from trialpress.view.terms import kind_name
from trialpress.view.verdicts import Verdict
from trialpress.words import figures, say

MOST_NAMED = 60
"""Where more set-ups are ranked a page counts them: every page would grow with each of them."""


@dataclass(frozen=True)
class Relations:
    """One verdict and the set-ups it holds towards; where there are many, ``counted``."""

    verdict: Verdict
    counted: str
    others: tuple[Link, ...]


@dataclass(frozen=True)
class SeriesStanding:
    """A set-up's line in one series and its relations to every other set-up there.

    ``against`` is where those are, each with its difference.
    """

    line: StandingLine
    against: str
    relations: tuple[Relations, ...]


@dataclass(frozen=True)
class SetupPart:
    """One set-up of the machine: what it is, and where it stands."""

    label: str
    summary: str
    is_reference: bool
    entries: tuple[Entry, ...]
    standings: tuple[SeriesStanding, ...]
    unranked: tuple[str, ...]
    missing: tuple[str, ...]
    overall: str
    beside: str


@dataclass(frozen=True)
class ClaimLine:
    """A figure from a spec sheet beside what was measured; ``sentence`` says all of it."""

    quantity: Link
    claim: ClaimRow
    source_url: str | None
    unit: str
    sentence: str


@dataclass(frozen=True)
class MachinePage:
    """Everything the page of one machine shows."""

    template: ClassVar[str] = "pages/machine.html"
    frame: Frame
    name: str
    maker: Link
    ticket: tuple[Entry, ...]
    note: str | None
    setups: tuple[SetupPart, ...]
    pairs: tuple[SetupPair, ...]
    worked: str | None
    chart: Strips | None
    runs: tuple[RunsOfSeries, ...]
    subset: str | None
    films: tuple[Moment, ...]
    photos: tuple[RunPhoto, ...]
    claims: tuple[ClaimLine, ...]
    corrections: tuple[CorrectionLine, ...]


def machine_page(source: SiteSource, machine: typed.Machine) -> MachinePage:
    """The page of one machine."""
    view = source.view
    name = view.names.machines[machine.machine]
    setups = view.setups_of.get(machine.machine, ())
    has_results = any(row.machine == machine.machine for row in view.standings)
    return MachinePage(
        frame=frame_of(
            view.settings,
            urls.machine_url(machine.machine),
            name,
            say(
                "{machine}: where it stands on every floor of the bench, how sure that is, and "
                "every run behind it.",
                machine=name,
            ),
            under=urls.MACHINES,
        ),
        name=machine.name,
        maker=Link(view.maker[machine.maker].name, urls.maker_url(machine.maker)),
        ticket=_ticket(machine),
        note=wording.sentence(machine.note) if machine.note else None,
        setups=tuple(_setup_part(source, setup) for setup in setups),
        pairs=setup_pairs(source, machine.machine),
        worked=urls.worked_url(machine.machine) if machine.machine in source.worked else None,
        chart=source.charts.machines.get(machine.machine),
        runs=runs_of_setups(source, setups),
        subset=urls.subset_url("machines", machine.machine) if has_results else None,
        films=moments_of_machine(view, machine.machine),
        photos=photos_of_machine(source.view, source.photos, machine.machine),
        claims=tuple(_claims(source, machine.machine)),
        corrections=corrections_of_machine(view, machine.machine),
    )


def _ticket(machine: typed.Machine) -> tuple[Entry, ...]:
    entries = (
        Entry(say("Kind"), kind_name(machine.kind)),
        Entry(say("Head"), machine.head or ""),
        Entry(say("Mop"), machine.mop or ""),
        Entry(say("Released"), figures.day(machine.released) if machine.released else ""),
        Entry(say("Price"), price_words(machine)),
        Entry(
            say("How it came here"),
            terms.ACQUIRED[machine.acquired],
            f"{urls.ABOUT}#disclosure",
        ),
        Entry(say("First run here"), figures.day(machine.first_day) if machine.first_day else ""),
    )
    return tuple(entry for entry in entries if entry.text)


def price_words(machine: typed.Machine) -> str:
    """The price and the day it was asked on; blank where there is none."""
    if machine.price is None:
        return ""
    price = figures.money(machine.price, machine.currency or "")
    return f"{price}, {figures.day(machine.priced_on)}" if machine.priced_on else price


def _setup_part(source: SiteSource, setup: typed.Setup) -> SetupPart:
    view = source.view
    standings = [
        _series_standing(view, key, line) for key, line in source.lines_of(setup.setup).items()
    ]
    return SetupPart(
        label=setup.label,
        summary=_summary(source, setup.setup),
        is_reference=setup.reference,
        entries=_setup_entries(setup),
        standings=tuple(standings),
        unranked=tuple(
            f"{view.series[(row.protocol, row.version)].name.full}: {terms.WHY[row.why]}"
            for row in view.not_ranked
            if row.setup == setup.setup
        ),
        missing=missing_runs(view, setup.setup),
        overall=_overall(view, setup.setup),
        beside=urls.compare_url(setup.setup),
    )


def _summary(source: SiteSource, setup: str) -> str:
    view = source.view
    lines = source.lines_of(setup)
    current = [lines[series.key] for series in view.current_series if series.key in lines]
    return setup_summary(view.setup[setup].label, current)


def _setup_entries(setup: typed.Setup) -> tuple[Entry, ...]:
    entries = (
        Entry(say("As unboxed"), say("yes") if setup.stock else say("no")),
        Entry(say("Brushes"), setup.brushes or ""),
        Entry(say("Mode"), setup.mode or ""),
        Entry(say("Pattern"), setup.pattern or ""),
        Entry(say("Overlap"), setup.overlap or ""),
        Entry(say("Water"), setup.water or ""),
        Entry(say("Firmware"), setup.firmware or ""),
        Entry(say("Specimen"), setup.specimen or ""),
    )
    return tuple(entry for entry in entries if entry.text)


def _series_standing(view: View, key: SeriesKey, line: StandingLine) -> SeriesStanding:
    by_verdict = view.comparisons(key).by_verdict(line.name.setup)
    return SeriesStanding(
        line,
        urls.against_url(view.series[key], line.name.setup),
        tuple(
            Relations(
                verdicts.relation(
                    verdict.relation,
                    is_by_less_than_matters=verdict.is_by_less_than_matters,
                    could_matter=verdict.could_matter,
                ),
                figures.count(len(by_verdict[verdict]), "set-up", "set-ups"),
                tuple(_other(view, other) for other in by_verdict[verdict])
                if line.ranked <= MOST_NAMED
                else (),
            )
            for verdict in sorted(by_verdict, key=_by_relation)
        ),
    )


def _by_relation(verdict: PairVerdict) -> tuple[int, bool, str]:
    """The better ones first, the worse ones last."""
    relation, is_small, could_matter = verdict
    return RELATIONS.index(relation), is_small, could_matter


def _other(view: View, setup: str) -> Link:
    return Link(view.names.setups[setup].full, urls.machine_url(view.setup[setup].machine))


def _overall(view: View, setup: str) -> str:
    placed = next((row for row in view.overall if row.setup == setup), None)
    if placed:
        # For translators: such as "2nd by mean, could be places 1 to 4".
        place = say(
            "{place} by mean, could be {places}",
            place=figures.ordinal(placed.place),
            places=figures.places_spoken(placed.place_best, placed.place_worst),
        )
        return verdicts.with_marks(place, placed)
    missing = next((row.missing for row in view.incomplete if row.setup == setup), None)
    return no_place(missing) if missing else ""


def no_place(missing: str) -> str:
    """That a set-up has no place in the overall, and on which protocols it was not run."""
    return say("no place, not yet run on: {protocols}", protocols=missing)


def _claims(source: SiteSource, machine: str) -> Iterator[ClaimLine]:
    for quantity, checks in source.view.analysed.claims.items():
        for row in checks:
            if row.machine != machine:
                continue
            measured_on = (row.protocol or "", row.version or 0)
            yield ClaimLine(
                quantity=Link(spoken(quantity), urls.claims_url(quantity)),
                claim=claim_row(source, row, is_one_unit=False),
                source_url=urls.web_address(row.source),
                unit=source.view.series[measured_on].unit if row.measured is not None else "",
                sentence=source.sentences.claims[row.claim],
            )
