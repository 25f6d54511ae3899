"""``tidy``.

In:  a bench folder, and files in it or none.
Out: what would change to bring them into the house form; with ``--yes`` it is changed.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from trialpress.cli.application import app
from trialpress.cli.options import BenchOption, JsonOption, QuietOption, bench_at
from trialpress.intake import Severity

if TYPE_CHECKING:
    from trialpress.desk.tidy import Tidied


@app.command(epilog="Example: trialpress tidy data/days/2026-03-02-hall/weighings.csv --yes")
def tidy(
    files: Annotated[
        list[str] | None,
        typer.Argument(metavar="[FILE]...", help="Table files, as findings name them; else all."),
    ] = None,
    yes: Annotated[bool, typer.Option("--yes", help="Do it; without, only show it.")] = False,  # noqa: FBT002
    bench: BenchOption = Path(),
    as_json: JsonOption = False,  # noqa: FBT002
    quiet: QuietOption = False,  # noqa: FBT002
) -> None:
    """Rewrite files that a spreadsheet saved in the house form, keeping each original.

    Semicolons become commas, decimal commas points, 26.11.2026 becomes 2026-11-26, TRUE true.
    check and build read both; adding rows to a file needs the house form. The original is kept
    in the folder tidied/.
    """
    from trialpress.desk.tidy import tidy as find_untidy  # noqa: PLC0415  imports slowly
    from trialpress.desk.tidy import write_tidied  # noqa: PLC0415
    from trialpress.lock import locked  # noqa: PLC0415

    folder = bench_at(bench)
    with locked(folder):
        found = find_untidy(folder, files or ())
        sound = [one for one in found if not _faults(one)]
        written = write_tidied(folder, sound) if yes else ()
    if as_json:
        typer.echo(json.dumps(_as_json(found, written), ensure_ascii=False, indent=2))
    elif not quiet:
        _tell(found, dict(written), done=yes)
    if any(_faults(one) for one in found):
        raise typer.Exit(1)


def _faults(file: Tidied) -> list[str]:
    return [one.text for one in file.findings if one.severity is Severity.ERROR]


def _as_json(
    found: Sequence[Tidied], written: Sequence[tuple[str, str]]
) -> list[dict[str, object]]:
    kept = dict(written)
    return [
        {
            "file": one.name,
            "difference": list(one.difference),
            "faults": _faults(one),
            "original": kept.get(one.name),
        }
        for one in found
    ]


def _tell(found: Sequence[Tidied], kept: dict[str, str], *, done: bool) -> None:
    for one in found:
        typer.echo(one.name)
        for line in _faults(one) or one.difference:
            typer.echo(f"  {line}")
        if one.name in kept:
            typer.echo(f"  Written. The original is kept as {kept[one.name]}.")
        elif _faults(one):
            typer.echo("  Left as it is: mend this first.")
    if not found:
        typer.echo("Every file has the house form.")
    elif not done:
        typer.echo("Nothing was written. To write this, add --yes.")
