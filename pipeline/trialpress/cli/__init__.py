"""The commands: the only stage that prints, exits, and reads the clock or the environment.

In:  what was typed on the command line.
Out: text for people, or JSON for programs, and an exit status: 0 done, 1 the data have faults,
     2 wrong use, 3 the outside world failed.
"""

from __future__ import annotations

import os
import sys

from rich.console import Console

from trialpress.cli.adopting import adopt
from trialpress.cli.application import app
from trialpress.cli.building import build, check
from trialpress.cli.correcting import correct
from trialpress.cli.explaining import explain
from trialpress.cli.planning import plan
from trialpress.cli.previewing import preview
from trialpress.cli.publishing import publish
from trialpress.cli.starting import new
from trialpress.cli.tidying import tidy
from trialpress.cli.translating import words
from trialpress.errors import TrialpressError

__all__ = [
    "adopt",
    "app",
    "build",
    "check",
    "correct",
    "explain",
    "main",
    "new",
    "plan",
    "preview",
    "publish",
    "tidy",
    "words",
]


_EVENING = (new, adopt, tidy, plan, preview, check, correct, build, explain, publish, words)
app.registered_commands.sort(
    key=lambda command: [*_EVENING, command.callback].index(command.callback)
)


def main() -> None:
    """Run the command line; every failure that a person can mend ends in its own words."""
    # Matrices here are small: more threads of the linear algebra only wait for each other.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    try:
        app(prog_name="trialpress")
    except TrialpressError as error:
        Console(stderr=True, highlight=False, markup=False, soft_wrap=True).print(str(error))
        sys.exit(error.exit_status)
