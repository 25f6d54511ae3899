"""``explain``.

In:  the name of a run, or of a set-up and a protocol.
Out: how the figure came about.
"""

from __future__ import annotations

import json
from dataclasses import asdict
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console

from trialpress.cli.application import app
from trialpress.cli.completing import complete_protocol, complete_run_or_setup
from trialpress.cli.findings import progress, report
from trialpress.cli.options import (
    AsOfOption,
    BenchOption,
    JsonOption,
    QuietOption,
    bench_at,
    date_of,
)
from trialpress.intake import FaultyBenchError


@app.command(
    epilog="Example: trialpress explain hall-07, or trialpress explain soft-brush deep-rug"
)
def explain(  # noqa: PLR0913, PLR0917  one parameter an option
    what: Annotated[
        str,
        typer.Argument(
            metavar="RUN|SETUP", help="A run, or a set-up.", autocompletion=complete_run_or_setup
        ),
    ],
    protocol: Annotated[
        str | None,
        typer.Argument(
            help="With a set-up: the protocol to explain it under.",
            autocompletion=complete_protocol,
        ),
    ] = None,
    version: Annotated[
        int | None, typer.Option("--version", help="An earlier version of the protocol.")
    ] = None,
    bench: BenchOption = Path(),
    as_of: AsOfOption = None,
    as_json: JsonOption = False,  # noqa: FBT002
    quiet: QuietOption = False,  # noqa: FBT002
) -> None:
    """Show how a figure came about, from rows as typed to a place."""
    from trialpress import flow  # noqa: PLC0415  the stages import slowly
    from trialpress.cli.telling import tell  # noqa: PLC0415

    folder = bench_at(bench)
    try:
        with progress(quiet=quiet or as_json) as say:
            say("working out the results")
            explanation = flow.explain(folder, date_of(as_of), what, protocol, version)
    except FaultyBenchError as error:
        report(error.findings, as_json=as_json)
        raise typer.Exit(error.exit_status) from None
    if as_json:
        typer.echo(json.dumps(asdict(explanation), ensure_ascii=False, indent=2))
    elif not quiet:
        tell(explanation, Console(highlight=False, markup=False))
