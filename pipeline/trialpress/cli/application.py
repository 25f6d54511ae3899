"""The application that commands belong to.

In:  nothing.
Out: ``app``, and ``--version``.
"""

from __future__ import annotations

from typing import Annotated

import typer

from trialpress import __version__

HELP = """Checked results, a site and an open dataset from hand-typed cleaning trials.

The commands stand in the order of an evening; each has an example in its own --help.
"""


app = typer.Typer(
    name="trialpress",
    help=HELP,
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)


@app.callback(invoke_without_command=True)
def about(
    version: Annotated[bool, typer.Option("--version", help="Print the version.")] = False,  # noqa: FBT002
) -> None:
    """Print the version, or leave the rest to a command."""
    if version:
        typer.echo(f"trialpress {__version__}")
        raise typer.Exit
