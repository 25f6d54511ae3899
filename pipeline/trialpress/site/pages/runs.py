"""Every run of a machine, valid, void or planned, traced to its file and row; runs to be made.

In:  the runs of a machine's set-ups, their readings and warnings; what the protocols ask for.
Out: ``RunsOfSeries``, one a series, runs oldest first; sentences on the runs that are missing.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from trialpress.bench import applies_to
from trialpress.site import urls, wording
from trialpress.site.films import Moment, moments_of_run
from trialpress.site.reporting import report_url
from trialpress.site.source import SiteSource
from trialpress.view import SeriesKey, View, terms, typed, verdicts
from trialpress.words import figures, say, say_count

EXTRA_DIGITS = 1  # as results publish a run: one digit more than the means of its series


@dataclass(frozen=True)
class Clip:
    """The film of a run, in words with its timecode, and where it is on the web."""

    words: str
    url: str | None


@dataclass(frozen=True)
class RunLine:
    """One run. ``value`` is None where the run is not valid.

    ``is_astray`` where the bench was out of line on its day.
    """

    run: str
    setup: str
    at: str
    status: str
    reason: str
    value: str | None
    uncertainty: str
    flags: tuple[str, ...]
    is_astray: bool
    warnings: tuple[str, ...]
    readings: str
    clip: Clip | None
    films: tuple[Moment, ...]
    operator: str | None
    note: str | None
    day: str
    file: str
    row: str
    version: str
    report: str | None


@dataclass(frozen=True)
class RunsOfSeries:
    """The runs of a machine's set-ups in one series."""

    title: str
    url: str
    unit: str
    count: str
    runs: tuple[RunLine, ...]


def runs_of_setups(source: SiteSource, setups: Sequence[typed.Setup]) -> tuple[RunsOfSeries, ...]:
    """The runs of some set-ups, by series; a series without any is left out."""
    return tuple(
        _series_runs(source, key, series, runs)
        for key, series in source.view.series.items()
        if (runs := _runs_of(source, key, setups))
    )


def _runs_of(source: SiteSource, key: SeriesKey, setups: Sequence[typed.Setup]) -> list[typed.Run]:
    return [run for setup in setups for run in source.view.runs_of.get((key, setup.setup), ())]


def _series_runs(
    source: SiteSource, key: SeriesKey, series: typed.Protocol, runs: Sequence[typed.Run]
) -> RunsOfSeries:
    decimals = run_decimals(source, key)
    return RunsOfSeries(
        title=series.name.full,
        url=urls.standing_url(series),
        unit=series.unit,
        count=_count(runs),
        runs=tuple(_line(source, run, decimals) for run in runs),
    )


def clip_of(typed: str) -> Clip:
    """A video and, after a space, its timecode; an address is followed, not shown."""
    video, *timecode = typed.split()
    url = urls.web_address(video)
    # For translators: a short film, before the name of its file or a time in it.
    return Clip(" ".join([say("clip"), *([] if url else [video]), *timecode]), url)


def as_typed(figure: str) -> str:
    """A figure with the digits and the minus it was typed with, and the language's other signs."""
    return figures.plain(figure).replace(figures.MINUS, "-")


def _count(runs: Sequence[typed.Run]) -> str:
    how_many = Counter(run.status for run in runs)
    void, planned = how_many["void"], how_many["planned"]
    parts = [figures.count(how_many["valid"], "valid run", "valid runs")]
    if void:
        # For translators: runs, after "5 valid runs, ".
        parts.append(say_count("{count} void", "{count} void", void))
    if planned:
        # For translators: runs, after "5 valid runs, ".
        parts.append(say_count("{count} planned", "{count} planned", planned))
    return ", ".join(parts)


def run_decimals(source: SiteSource, key: SeriesKey) -> int:
    """The digits of a run: some more than those of the series' means, which all set-ups share."""
    standing = source.view.standings_of.get(key, ())
    return max((row.decimals for row in standing), default=0) + EXTRA_DIGITS


def _line(source: SiteSource, run: typed.Run, decimals: int) -> RunLine:
    view = source.view
    result = view.run_result.get(run.run)
    flags = result.flags if result else ""
    return RunLine(
        run=run.run,
        setup=view.setup[run.setup].label,
        at=figures.moment(run.at),
        status=run.status,
        reason=wording.sentence(run.reason or ""),
        value=figures.number(result.value, decimals) if result else None,
        uncertainty=wording.uncertainty(result.u_value, decimals) if result else "",
        flags=verdicts.flag_words(flags),
        is_astray=terms.BENCH_DRIFT in terms.codes(flags),
        warnings=tuple(
            wording.sentence(warning.problem)
            for warning in view.warnings
            if (warning.file, warning.row) == (run.file, run.row)
        ),
        readings=_readings(view.readings_of.get(run.run, ())),
        clip=clip_of(run.clip) if run.clip else None,
        films=moments_of_run(view, run.run),
        operator=run.operator,
        note=run.note,
        day=run.day,
        file=run.file,
        row=str(run.row),
        version=str(run.version),
        report=report_url(
            view.settings,
            run.run,
            view.settings.base_url + urls.run_url(view.setup[run.setup].machine, run.run),
        ),
    )


def _readings(readings: Sequence[typed.Reading]) -> str:
    worded = (
        f"{reading.name} {figures.with_unit(as_typed(reading.typed), reading.unit)}"
        for reading in readings
    )
    return "; ".join(worded)


def missing_runs(view: View, setup: str) -> tuple[str, ...]:
    """Current protocols for its kind in which a set-up has fewer runs than asked for, or none."""
    few, never = [], []
    kind = view.machine[view.setup[setup].machine].kind
    for series in view.current_series:
        runs = view.runs_of.get(((series.protocol, series.version), setup), ())
        valid = sum(run.status == "valid" for run in runs)
        if not valid and not applies_to(series.kinds, kind):
            continue
        if not valid:
            never.append(series.title)
        elif valid < series.min_runs:
            few.append(f"{series.title} ({wording.share(valid, series.min_runs)})")
    sentences = (
        say("Fewer runs than asked for: {protocols}.", protocols=figures.listing(few))
        if few
        else "",
        say("No valid run yet: {protocols}.", protocols=figures.listing(never)) if never else "",
    )
    return tuple(sentence for sentence in sentences if sentence)


def open_plan(view: View, key: SeriesKey) -> str:
    """That planned runs of a series are still to be made, and what it means; blank without any."""
    planned = sum(
        run.status == "planned" and (run.protocol, run.series_version) == key for run in view.runs
    )
    if not planned:
        return ""
    return say_count(
        "{runs} is still to be made: a plan is read once, when all its runs are done, so this "
        "standing is not its verdict.",
        "{runs} are still to be made: a plan is read once, when all its runs are done, so this "
        "standing is not its verdict.",
        planned,
        runs=figures.count(planned, "planned run", "planned runs"),
    )
