"""``new``.

In:  a folder that is empty or not there; today.
Out: a bench in it that passes ``check``.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Annotated

import typer

from trialpress.cli.application import app
from trialpress.cli.options import JsonOption, QuietOption, date_of


@app.command(epilog="Example: trialpress new my-bench")
def new(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="A new or an empty folder.")],
    wheel: Annotated[
        Path | None,
        typer.Option(
            "--wheel",
            metavar="FILE",
            help="A wheel of Trialpress to keep in the bench, so that its workflow can install it.",
        ),
    ] = None,
    as_json: JsonOption = False,  # noqa: FBT002
    quiet: QuietOption = False,  # noqa: FBT002
) -> None:
    """Make an empty bench that passes check and builds.

    It has one example protocol; its README leads through one evening, from the plan to publishing.
    """
    from trialpress.desk.new import new_bench  # noqa: PLC0415  the file system alone is needed

    written = new_bench(folder, date_of(None), wheel)
    if as_json:
        typer.echo(json.dumps([str(folder / name) for name in written], indent=2))
        return
    if quiet:
        return
    for name in written:
        typer.echo(f"  {folder / name}")
    typer.echo(f"{folder} is a bench. Read its README.md first, then: cd {folder}")
