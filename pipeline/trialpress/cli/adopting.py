"""``adopt``.

In:  a spreadsheet, and a mapping file where the header does not say enough.
Out: what was understood, or a mapping begun; with ``--write`` the rows in day folders, with
     ``--undo`` gone again.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from trialpress.cli.adoption_shown import show
from trialpress.cli.application import BenchOption, JsonOption, QuietOption, app, bench_at
from trialpress.cli.output import echo, echo_json, faults_reported, progress
from trialpress.errors import UsageError

if TYPE_CHECKING:
    from trialpress.bench import Bench
    from trialpress.desk.adopt import Adoption


@app.command(epilog="Example: trialpress adopt old-runs.xlsx --map old-runs.toml --write")
def adopt(  # noqa: PLR0913, PLR0917  one parameter an option
    file: Annotated[
        Path | None, typer.Argument(help="A spreadsheet: xlsx, ods, or csv of any kind.")
    ] = None,
    mapping: Annotated[
        Path | None, typer.Option("--map", metavar="FILE", help="What its columns mean (TOML).")
    ] = None,
    start: Annotated[  # noqa: FBT002
        bool,
        typer.Option("--start", help="Begin a mapping: FILE.toml, or the one that --map names."),
    ] = False,
    sheet: Annotated[str | None, typer.Option(metavar="NAME", help="This sheet alone.")] = None,
    write: Annotated[  # noqa: FBT002
        bool, typer.Option("--write", help="Write the rows; without it they are only shown.")
    ] = False,
    undo: Annotated[  # noqa: FBT002
        bool, typer.Option("--undo", help="Take back the last adoption, whole.")
    ] = False,
    bench: BenchOption = Path(),
    as_json: JsonOption = False,  # noqa: FBT002
    quiet: QuietOption = False,  # noqa: FBT002
) -> None:
    """Bring the runs of an existing spreadsheet into day folders.

    First shows what it understood, column by column and row by row. Rows that are not adopted are
    listed with the reason. Run twice, it adds nothing twice. --start writes a mapping file with
    everything that can be guessed, and a "?" where only you know. It may say, all of it optional:

    \b
    word = "old"                  # of the day folders
    sheet = "Runs"
    header_row = 2
    encoding = "cp1252"           # of a text file
    header_rows = 2               # a header of two rows
    decimal = ","
    date_order = "day-first"      # of 03/04/2031; or month-first
    date_format = ["%y%m%d"]      # other forms of dates
    fill_down = ["at"]            # blank cells mean the one above
    ignore = ["Time"]             # columns that mean nothing here
    [columns]
    before_g = "Start"            # our column = theirs
    setup = ["Brand", "Model"]    # a name out of two
    [wide]
    becomes = "protocol"          # or replicate, zone, grader, setup
    [wide.columns]
    "Rug" = "sand-on-rug"         # columns that begin or end so
    [units]
    before_g = "kg"
    [fixed]
    dose_g = "protocol"           # the same in all rows; as the method says
    [results]
    sand-on-rug = "rug-shares"    # keeps results without masses
    [values.setup]
    "Our stick" = "stick-stock"   # their word = ours
    """  # noqa: D301  a backspace keeps the lines of an example apart
    if start + write + undo > 1:
        raise SeveralThingsError
    folder = bench_at(bench)
    if undo:
        _undo(folder, as_json=as_json)
        return
    if file is None:
        raise NoFileError
    with faults_reported(as_json=as_json):
        if start:
            _start(folder, file, mapping, as_json=as_json, quiet=quiet)
            return
        adoption = _adopted(folder, file, mapping, sheet, write=write, quiet=quiet or as_json)
    show(adoption, is_written=write, as_json=as_json, quiet=quiet)


class SeveralThingsError(UsageError):
    """More than one of begin, write and undo is asked for."""

    def __init__(self) -> None:
        super().__init__(
            "--start begins a mapping, --write writes rows, --undo takes them back: one at a time."
        )


class NoFileError(UsageError):
    """No spreadsheet is named."""

    def __init__(self) -> None:
        super().__init__("Name the spreadsheet: trialpress adopt old-runs.xlsx --start")


def _undo(bench: Bench, *, as_json: bool) -> None:
    from trialpress.desk.adopt import last_adoption  # noqa: PLC0415  imports slowly

    what = last_adoption(bench).undo()
    if as_json:
        echo_json({"undone": what})
    else:
        echo(f"Undone: {what}.")


def _adopted(  # noqa: PLR0913  the options of the command
    bench: Bench, file: Path, mapping: Path | None, sheet: str | None, *, write: bool, quiet: bool
) -> Adoption:
    from trialpress.desk.adopt import (  # noqa: PLC0415  imports slowly
        AdoptionRequest,
        adopt,
        read_mapping,
        refuse_changed,
        remember_shown,
        write_adoption,
    )
    from trialpress.lock import locked  # noqa: PLC0415  imports slowly

    content = read_mapping(mapping)
    with locked(bench), progress(quiet=quiet) as say:
        say("trying the rows out on a copy of the bench")
        request = AdoptionRequest(file, replace(content, sheet=sheet or content.sheet))
        adoption = adopt(bench, request)
        if write:
            refuse_changed(bench, adoption)
            write_adoption(bench, adoption)
        else:
            remember_shown(bench, adoption)
    return adoption


def _start(bench: Bench, file: Path, mapping: Path | None, *, as_json: bool, quiet: bool) -> None:
    from trialpress.desk.adopt import refuse_taken, start, write_start  # noqa: PLC0415  imports slowly

    place = mapping or file.parent / f"{file.stem}.toml"  # a folder may have no name
    refuse_taken(place)
    with progress(quiet=quiet or as_json) as say:
        say("trying the rows out on a copy of the bench")
        begun = start(bench, file)
    write_start(place, begun)
    if as_json:
        decisions = [{"key": line.path, "answers": line.answers} for line in begun.decisions]
        content = {"mapping": str(place), "rows": begun.row_count, "decisions": decisions}
        echo_json(content)
        return
    if not quiet:
        echo(f"{place} written: {begun.row_count} rows, {len(begun.decisions)} left to decide.")
    for line in begun.decisions:
        echo(f"  {line.path}: {line.why}. One of: {', '.join(line.answers)}")
    for group in () if quiet else begun.left:
        echo(f"  not adopted{' with the first answers' * bool(begun.decisions)}: {group.text}")
    if not quiet:
        echo(f"Look it over, then: trialpress adopt {file} --map {place}")
