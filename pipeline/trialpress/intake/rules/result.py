"""What a run's result is, as far as a rule needs it, and whether it can be right.

In:  runs that were made, with their protocols.
Out: results with the digits that were typed, and findings for those outside the protocol's limits.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal

from trialpress.intake.findings import Finding, FindingCode, found
from trialpress.intake.rows import (
    CountRecord,
    GradingRecord,
    ProtocolRecord,
    RunRecord,
    ValueRecord,
    WeighingRecord,
)
from trialpress.intake.rules.records import BenchRecords, rows_by_run
from trialpress.intake.rules.weighings import gain_column, gain_of

SHARE_LIMITS = (Decimal(-5), Decimal(120))
"""Least and most of a share in percent, where the protocol has no limits of its own."""
_HUNDRED = Decimal(100)
_COLUMN = {"values": "value", "counts": "hits", "gradings": "grade"}
_SHOWN_DIGITS = Decimal("0.1")


@dataclass(frozen=True)
class Result:
    """A valid run with its protocol and its result, in the protocol's unit."""

    run: RunRecord
    protocol: ProtocolRecord
    value: Decimal

    @property
    def column(self) -> str:
        """The column whose reading to look at first."""
        return (
            gain_column(self.run)
            if isinstance(self.run, WeighingRecord)
            else _COLUMN[self.run.table]
        )


def results_of(records: BenchRecords) -> Iterator[Result]:
    """Every valid run whose readings are there, in the order of the tables."""
    graded = {rows[0].run: rows for rows in rows_by_run(records.gradings)}
    for run in records.runs:
        protocol = records.protocol_of(run)
        if run.is_valid and protocol is not None:
            value = graded_result(graded[run.run], protocol) if run.run in graded else None
            value = result_of(run, protocol) if value is None else value
            if value is not None:
                yield Result(run, protocol, value)


def result_of(run: RunRecord, protocol: ProtocolRecord) -> Decimal | None:
    """The result of a run that is one row; ``None`` where a reading is missing or makes none.

    Notes
    -----
    The formulas of the ``measure`` stage, which works them out with their uncertainty once a bench
    has no faults; ``tests/intake/test_results.py`` holds the two together.
    """
    match run:
        case ValueRecord():
            return run.value
        case CountRecord(hits=hits, tries=tries) if hits is not None and tries:
            return _HUNDRED * hits / tries
        case WeighingRecord(dose_g=Decimal() as dose) if dose > 0:
            gained = gain_of(run)
            if gained is None or protocol.reading not in ("collected", "left"):
                return None
            share = _HUNDRED * (gained - (run.blank_g or 0)) / dose
            return share if protocol.reading == "collected" else _HUNDRED - share
        case _:
            return None


def graded_result(rows: tuple[GradingRecord, ...], protocol: ProtocolRecord) -> Decimal | None:
    """Share of grades at or below the clean limit; ``None`` where there are none."""
    limit, grades = protocol.clean_limit, [row.grade for row in rows]
    if limit is None or protocol.reading != "graded":
        return None
    known = [grade for grade in grades if grade is not None]
    return _HUNDRED * sum(grade <= limit for grade in known) / len(known) if known else None


def limits_of(protocol: ProtocolRecord) -> tuple[Decimal | None, Decimal | None]:
    """The least and the most a result can plausibly be; ``None`` where there is no limit.

    Limits the wrong way round are told of the protocol, not of every run.
    """
    usual = (None, None) if protocol.reading == "value" else SHARE_LIMITS
    least = usual[0] if protocol.least is None else protocol.least
    most = usual[1] if protocol.most is None else protocol.most
    are_reversed = least is not None and most is not None and least >= most
    return (None, None) if are_reversed else (least, most)


def check_results(records: BenchRecords) -> Iterator[Finding]:
    """Check that every result is plausible, or has a reason; and that no other run has one."""
    excused = set()
    for result in results_of(records):
        least, most = limits_of(result.protocol)
        is_below = least is not None and result.value < least
        if is_below or (most is not None and result.value > most):
            excused.add(result.run.run)
            yield _implausible(result, least if is_below else most, is_below=is_below)
    yield from _check_reasons(records, excused)


def _implausible(result: Result, limit: Decimal | None, *, is_below: bool) -> Finding:
    run, protocol = result.run, result.protocol
    details: Mapping[str, str | None] = {
        "result": f"{result.value.quantize(_SHOWN_DIGITS):f}",
        "unit": protocol.unit,
        "side": "less than the least" if is_below else "more than the most",
        "limit": f"{limit:f}",
        "limit_column": "least" if is_below else "most",
        "reason": run.reason,
    }
    variant = "reason" if run.reason else ""
    place, text = run.place(result.column), run.text(result.column)
    return found(FindingCode.RESULT_IMPLAUSIBLE, place, text, variant=variant, **details)


def _check_reasons(records: BenchRecords, excused: set[str]) -> Iterator[Finding]:
    for row in (*records.weighings, *records.values, *records.counts, *records.gradings):
        if not row.is_void and row.has("reason") and row.run not in excused:
            place, text = row.place("reason"), row.text("reason")
            yield found(FindingCode.REASON_WITHOUT_VOID, place, text, status=row.status)
