"""The result of a run from its readings alone, before anything about it is judged.

In:  a draft, and the protocols of the bench.
Out: the result in the protocol's unit, in intake's own formulas; None while a reading is missing,
     is no number, or makes a result that its protocol does not take for plausible.

Short: what the screen at the bench shows at once. Judging the run takes the whole bench.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal, InvalidOperation

from trialpress.desk.sheet.draft import Draft
from trialpress.intake import CheckedBench, read_schema
from trialpress.intake.folder import date_of
from trialpress.intake.rows import (
    CountRecord,
    GradingRecord,
    ProtocolRecord,
    Row,
    RunRecord,
    ValueRecord,
    WeighingRecord,
    read_records,
)
from trialpress.intake.rules.result import graded_result, limits_of, result_of

KINDS: tuple[type[RunRecord], ...] = (WeighingRecord, ValueRecord, CountRecord, GradingRecord)


def typed_result(checked: CheckedBench, draft: Draft) -> Decimal | None:
    """Work out what a draft's readings come to."""
    protocols = read_records(ProtocolRecord, checked.tables["protocols"].corrected, {})
    wanted = draft.rows[0].get("protocol"), draft.rows[0].get("version")
    protocol = next((p for p in protocols if (p.protocol, str(p.version)) == wanted), None)
    kind = next(kind for kind in KINDS if kind.table == draft.table)
    rows = [_row(draft, number, cells) for number, cells in enumerate(draft.rows)]
    try:
        records = read_records(kind, rows, {})
    except (InvalidOperation, ValueError):
        return None
    if protocol is None or not records or len(records) < len(rows):
        return None
    result = _result(records, protocol)
    return result if result is not None and _is_plausible(result, protocol) else None


def _row(draft: Draft, number: int, cells: Mapping[str, str]) -> Row:
    every = {column: cells.get(column) for column in read_schema(draft.table).columns}
    return Row(draft.table, "", number, draft.day, date_of(draft.day), every)


def _result(records: tuple[RunRecord, ...], protocol: ProtocolRecord) -> Decimal | None:
    gradings = tuple(one for one in records if isinstance(one, GradingRecord))
    if gradings:
        is_whole = all(one.grade is not None for one in gradings)
        return graded_result(gradings, protocol) if is_whole else None
    return result_of(records[0], protocol)


def _is_plausible(result: Decimal, protocol: ProtocolRecord) -> bool:
    least, most = limits_of(protocol)
    return (
        result.is_finite()
        and (least is None or result >= least)
        and (most is None or result <= most)
    )
