"""``adopt``.

In:  a spreadsheet, and a mapping file where the header does not say enough.
Out: what was understood; with ``--write`` the rows in day folders.
"""

from __future__ import annotations

import json
from collections import Counter
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from trialpress.cli.application import BenchOption, JsonOption, QuietOption, app, bench_at
from trialpress.cli.output import echo, progress, report
from trialpress.intake import FaultyBenchError

if TYPE_CHECKING:
    from trialpress.desk.adopt import Adoption, ReadSheet


@app.command(epilog="Example: trialpress adopt old-runs.xlsx --map old-runs.toml --write")
def adopt(  # noqa: PLR0913, PLR0917  one parameter an option
    file: Annotated[Path, typer.Argument(help="A spreadsheet: xlsx, ods, or csv of any kind.")],
    mapping: Annotated[
        Path | None, typer.Option("--map", metavar="FILE", help="What its columns mean (TOML).")
    ] = None,
    sheet: Annotated[str | None, typer.Option(metavar="NAME", help="This sheet alone.")] = None,
    write: Annotated[  # noqa: FBT002
        bool, typer.Option("--write", help="Write the rows; without it they are only shown.")
    ] = False,
    bench: BenchOption = Path(),
    as_json: JsonOption = False,  # noqa: FBT002
    quiet: QuietOption = False,  # noqa: FBT002
) -> None:
    """Bring the runs of an existing spreadsheet into day folders.

    First shows what it understood, column by column and row by row. Rows that are not adopted are
    listed with the reason. Run twice, it adds nothing twice. A mapping file may say, all of it
    optional:

    \b
    word = "old"                  # of the day folders
    sheet = "Runs"
    header_row = 2
    encoding = "cp1252"           # of a text file
    decimal = ","
    date_format = "%d.%m.%y"
    [columns]
    before_g = "Start"            # our column = theirs
    [units]
    before_g = "kg"
    [fixed]
    protocol = "sand-on-rug"      # the same in all rows
    [values.setup]
    "Our stick" = "stick-stock"   # their word = ours
    """  # noqa: D301  a backspace keeps the lines of an example apart
    from trialpress.desk.adopt import (  # noqa: PLC0415  imports slowly
        AdoptionRequest,
        adopt,
        read_mapping,
        write_adoption,
    )
    from trialpress.lock import locked  # noqa: PLC0415  import slowly

    folder = bench_at(bench)
    content = read_mapping(mapping)
    try:
        with locked(folder), progress(quiet=quiet or as_json) as say:
            say("trying the rows out on a copy of the bench")
            adoption = adopt(
                folder, AdoptionRequest(file, replace(content, sheet=sheet or content.sheet))
            )
            if write:
                write_adoption(folder, adoption)
    except FaultyBenchError as error:
        report(error.findings, as_json=as_json)
        raise typer.Exit(error.exit_status) from None
    if as_json:
        echo(json.dumps(_as_json(adoption), ensure_ascii=False, indent=2))
    else:
        _tell(adoption, is_written=write, quiet=quiet)


def _tell(adoption: Adoption, *, is_written: bool, quiet: bool) -> None:
    if not quiet:
        echo(f"{adoption.spreadsheet.file} is {adoption.spreadsheet.how}.")
        for sheet in adoption.sheets:
            _tell_sheet(sheet)
        for row in adoption.rows:
            cells = ", ".join(f"{name} {text}" for name, text in row.cells.items())
            echo(f"{row.origin.text}: {row.table}, day {row.day}: {cells}")
    for origin, remark in adoption.remarks:
        echo(f"{origin.text}: {remark}")
    for refused in adoption.refused:
        echo(f"{refused.origin.text} is not adopted: {refused.reason}")
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
    for header in sheet.unused:
        echo(f"  {header} -> nothing; map it in [columns] if it is wanted")
    for header in sheet.lacking:
        echo(f"  no column is called {header}, as the mapping says")
    for mark in sheet.marks:
        echo(f"  row {mark.row}, cell {mark.cell} {mark.words}, which is not adopted")
    if sheet.blank_rows:
        echo(f"  {sheet.blank_rows} blank rows passed over")


def _as_json(adoption: Adoption) -> dict[str, object]:
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
        "marks": [
            {"sheet": sheet.name, "row": mark.row, "cell": mark.cell, "mark": mark.words}
            for sheet in adoption.sheets
            for mark in sheet.marks
        ],
        "findings": [finding.as_json() for finding in adoption.findings],
    }
