"""The whole of intake in order.

In:  a bench folder and a date.
Out: ``CheckedBench``, or ``FaultyBenchError`` with every finding.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from trialpress.bench import Bench, Settings
from trialpress.intake.checked import CheckedBench, build_tables
from trialpress.intake.corrections import (
    Corrected,
    CorrectionRecord,
    apply_corrections,
    read_corrections,
)
from trialpress.intake.descriptors import check_descriptor
from trialpress.intake.embargo import hidden_runs
from trialpress.intake.findings import (
    FaultyBenchError,
    Finding,
    FindingCode,
    Severity,
    in_order,
)
from trialpress.intake.folder import list_bench
from trialpress.intake.meters import check_meter_instruments
from trialpress.intake.published import read_record
from trialpress.intake.replicates import number_replicates
from trialpress.intake.rows import Faults, is_usable
from trialpress.intake.rules import check_rules
from trialpress.intake.rules.dates import check_not_ahead
from trialpress.intake.rules.films import check_marks
from trialpress.intake.rules.protocols import check_overall
from trialpress.intake.rules.records import gather_records
from trialpress.intake.rules.runs import check_identities
from trialpress.intake.settings import read_settings
from trialpress.intake.texts import read_methods, read_translation
from trialpress.intake.typed import Typed, faults_of, read_typed
from trialpress.words import Language


@dataclass(frozen=True)
class ReadFiles:
    """Every file of a bench, read and checked by itself: what does not depend on a date."""

    bench: Bench
    settings: Settings | None
    language: Language
    typed: Typed
    faults: Faults
    methods: Mapping[str, str]
    findings: tuple[Finding, ...]


def read_bench(bench: Bench, as_of: date | None, now: datetime | None = None) -> CheckedBench:
    """Read and check everything in a bench folder.

    Parameters
    ----------
    bench : Bench
        The folder.
    as_of : date or None
        Corrections made after it are not applied, and rules are not checked on later days; every
        file is read and checked against its schema all the same. ``None`` means everything.
    now : datetime or None
        With a time zone: runs that lie ahead of it are found. ``None``: nobody looks at a clock.

    Returns
    -------
    CheckedBench
        All rows, as typed and as corrected, with the warnings there are.

    Raises
    ------
    FaultyBenchError
        If there is an error; it carries all findings of all files.
    """
    return check_bench(read_files(bench), as_of, now)


def read_files(bench: Bench) -> ReadFiles:
    """Read every file once, for checks as of one date or several.

    Raises
    ------
    FaultyBenchError
        If the bench is in a format of another version, as its files may mean anything.
    """
    settings = read_settings(bench)
    if any(finding.code is FindingCode.BENCH_FORMAT for finding in settings.findings):
        raise FaultyBenchError(settings.findings)
    translation = read_translation(bench, settings.settings)
    listing = list_bench(bench)
    typed = read_typed(bench, listing)
    methods = read_methods(bench, listing.methods, typed.tables["protocols"])
    named = (
        *typed.findings,
        *check_identities(typed.tables, typed.unsure),
        *check_marks(typed.tables, typed.unsure),
    )
    descriptors = (finding for package in listing.packages for finding in check_descriptor(package))
    return ReadFiles(
        bench=bench,
        settings=settings.settings,
        language=translation.language,
        typed=typed,
        faults=faults_of(named, typed.untold),
        methods=methods.texts,
        findings=(
            *settings.findings,
            *translation.findings,
            *read_record(bench).findings,
            *listing.findings,
            *descriptors,
            *named,
            *methods.findings,
        ),
    )


def check_bench(files: ReadFiles, as_of: date | None, now: datetime | None = None) -> CheckedBench:
    """Check what was read as of one date; as ``read_bench``.

    Raises
    ------
    FaultyBenchError
        If there is an error; it carries all findings of all files.
    """
    corrected, findings = _check(files, as_of, now)
    if any(finding.severity is Severity.ERROR for finding in findings):
        raise FaultyBenchError(findings)
    return _as_checked(files, as_of, corrected, findings)


def check_as_it_stood(files: ReadFiles, as_of: date) -> CheckedBench:
    """Check a bench that has no errors by now as it stood on an earlier date, errors and all.

    Returns
    -------
    CheckedBench
        As of then; its findings may hold errors that were corrected later.

    Raises
    ------
    FaultyBenchError
        If the settings cannot be read.
    """
    return _as_checked(files, as_of, *_check(files, as_of))


def _check(
    files: ReadFiles, as_of: date | None, now: datetime | None = None
) -> tuple[Corrected, tuple[Finding, ...]]:
    corrected = _correct(files.typed, files.faults, as_of)
    records = gather_records(corrected.tables, files.faults, files.bench.days, as_of)
    hidden = hidden_runs(files.typed.tables, corrected.tables, as_of)
    ruled = [*check_rules(records, hidden)]
    if files.settings is not None:
        ruled += check_overall(records, files.settings.overall)
        shown = {name: record.unit for name, record in records.instruments.items()}
        settings_name = files.bench.name_of(files.bench.settings_file)
        ruled += check_meter_instruments(files.settings.meters, shown, settings_name)
    if now is not None and files.settings is not None:
        ruled += check_not_ahead(records, now.astimezone(ZoneInfo(files.settings.time_zone)))
    return corrected, _told_once([*files.findings, *corrected.findings, *ruled])


def _as_checked(
    files: ReadFiles, as_of: date | None, corrected: Corrected, findings: tuple[Finding, ...]
) -> CheckedBench:
    if files.settings is None:
        raise FaultyBenchError(findings)
    tables = build_tables(files.typed.tables, corrected.tables)
    return CheckedBench(files.settings, as_of, tables, files.methods, findings, files.language)


def _correct(typed: Typed, faults: Faults, as_of: date | None) -> Corrected:
    """Apply the corrections in force; the findings are those of all corrections."""
    lines = [
        line
        for line in typed.tables["corrections"]
        if is_usable(line, faults) and line.cells["table"] not in typed.unsure
    ]
    corrections = read_corrections(lines)
    everything = apply_corrections(typed.tables, corrections)
    in_force = everything
    until = corrections if as_of is None else _until(as_of, corrections)
    if len(until) < len(corrections):
        in_force = apply_corrections(typed.tables, until)
    hidden = hidden_runs(typed.tables, in_force.tables, as_of)
    numbered = number_replicates(in_force.tables, as_of, hidden)
    return Corrected(numbered, everything.findings)


def _until(as_of: date, corrections: Sequence[CorrectionRecord]) -> Sequence[CorrectionRecord]:
    return [correction for correction in corrections if correction.corrected_on <= as_of]


def _told_once(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """All findings in order, but none of the cells of a column that is not there at all."""
    findings = in_order(findings)
    missing = {
        (finding.file, finding.column)
        for finding in findings
        if finding.code is FindingCode.COLUMN_MISSING
    }
    return tuple(
        finding
        for finding in findings
        if finding.code is FindingCode.COLUMN_MISSING
        or (finding.file, finding.column) not in missing
    )
