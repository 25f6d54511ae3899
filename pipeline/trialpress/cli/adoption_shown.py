"""What ``adopt`` shows of a file.

In:  an ``Adoption``.
Out: column by column and row by row what was understood; what was not, once for all rows alike.
"""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from trialpress.cli.output import echo, echo_json

if TYPE_CHECKING:
    from trialpress.desk.adopt import Adoption, ReadSheet


def show(adoption: Adoption, *, is_written: bool, as_json: bool, quiet: bool) -> None:
    """Print an adoption, for people or for machines."""
    if as_json:
        echo_json(_as_json(adoption))
    else:
        _tell(adoption, is_written=is_written, quiet=quiet)


def _tell(adoption: Adoption, *, is_written: bool, quiet: bool) -> None:
    from trialpress.desk.adopt.obstacles import counted_rows, grouped  # noqa: PLC0415  slow

    if not quiet:
        echo(f"{adoption.spreadsheet.file} is {adoption.spreadsheet.how}.")
        for sheet in adoption.sheets:
            _tell_sheet(sheet)
        for row in adoption.rows:
            cells = ", ".join(f"{name} {text}" for name, text in row.cells.items())
            echo(f"{row.origin.text}: {row.table}, day {row.day}: {cells}")
    for remark in dict.fromkeys(remark for _, remark in adoption.remarks):
        origins = [origin for origin, other in adoption.remarks if other == remark]
        echo(f"{counted_rows(origins)}: {remark}")
    for group in grouped(adoption.refused):
        echo(f"not adopted: {group.text}")
    for finding in adoption.findings:
        echo(f"{finding.severity.value}: {finding.text}")
    if quiet:
        return
    already = f", {len(adoption.already)} adopted before" if adoption.already else ""
    refusals = f", {len(adoption.refused)} not adopted" if adoption.refused else ""
    state = "written" if is_written else "to adopt; nothing is written without --write"
    echo(f"{len(adoption.rows)} rows {state}{already}{refusals}.")


def _tell_sheet(sheet: ReadSheet) -> None:
    name = f"Sheet {sheet.name}: " if sheet.name else ""
    if sheet.header_row is None:
        echo(
            f"{name}no row looks like a header. Say in a mapping file (--map) what its columns "
            "mean, and with header_row which row it is: trialpress adopt --help shows one."
        )
        return
    marks = "commas" if sheet.is_comma else "points"
    echo(f"{name}header in row {sheet.header_row}, decimal {marks}.")
    for column in sheet.columns:
        unit = f", in {column.unit}" if column.unit else ""
        echo(f"  {column.header} -> {column.name}{unit}")
    for spread in sheet.spread:
        echo(f"  {spread.header} -> {spread.word}: {spread.content}")
    for header in sheet.unused:
        echo(f"  {header} -> nothing; map it in [columns] if it is wanted")
    for header in sheet.lacking:
        echo(f"  no column is called {header}, as the mapping says")
    for mark in sheet.marks:
        echo(f"  row {mark.row}, cell {mark.cell} {mark.words}, which is not adopted")
    _tell_passed_over(sheet)


def _tell_passed_over(sheet: ReadSheet) -> None:
    if sheet.blank_rows:
        echo(f"  {sheet.blank_rows} blank rows passed over")
    if sheet.totals:
        rows = ", ".join(map(str, sheet.totals))
        echo(f"  row {rows} sums up others and is passed over")
    if sheet.order is not None:
        echo(f"  dates with slashes are read {sheet.order.value}")


def _as_json(adoption: Adoption) -> dict[str, object]:
    from trialpress.desk.adopt.obstacles import grouped  # noqa: PLC0415  slow

    counts = Counter(row.day for row in adoption.rows)
    return {
        "how": adoption.spreadsheet.how,
        "days": dict(sorted(counts.items())),
        "rows": [
            {"sheet": row.origin.sheet, "row": row.origin.row, "table": row.table, **row.cells}
            for row in adoption.rows
        ],
        "adopted_before": [
            {"sheet": origin.sheet, "row": origin.row} for origin in adoption.already
        ],
        "refused": [
            {"sheet": row.origin.sheet, "row": row.origin.row, "reason": row.reason}
            for row in adoption.refused
        ],
        "reasons": [
            {"rows": len(group.origins), "reason": group.reason.sentence}
            for group in grouped(adoption.refused)
        ],
        "marks": [
            {"sheet": sheet.name, "row": mark.row, "cell": mark.cell, "mark": mark.words}
            for sheet in adoption.sheets
            for mark in sheet.marks
        ],
        "findings": [finding.as_json() for finding in adoption.findings],
    }
