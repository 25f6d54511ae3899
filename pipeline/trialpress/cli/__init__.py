"""The commands: the only stage that prints, exits, and reads the clock or the environment.

In:  what was typed on the command line.
Out: text for people, or JSON for programs, and an exit status: 0 done, 1 the data have faults,
     2 wrong use, 3 the outside world failed.
"""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Callable
from typing import get_type_hints

from trialpress.cache import Cache, keeping
from trialpress.cli.adding import add
from trialpress.cli.adopting import adopt
from trialpress.cli.application import app, cache_folder, clock, long_names_refused
from trialpress.cli.bench_files import new, tidy, words
from trialpress.cli.building import build, check
from trialpress.cli.correcting import correct
from trialpress.cli.explaining import explain
from trialpress.cli.filming import kit
from trialpress.cli.output import SafeConsole
from trialpress.cli.planning import plan
from trialpress.cli.previewing import preview
from trialpress.cli.publishing import publish
from trialpress.cli.releasing import edition, verify
from trialpress.errors import TrialpressError
from trialpress.glossary import glossary_lines

__all__ = [
    "add",
    "adopt",
    "app",
    "build",
    "check",
    "correct",
    "edition",
    "explain",
    "kit",
    "main",
    "new",
    "plan",
    "preview",
    "publish",
    "tidy",
    "verify",
    "words",
]


_EVENING = (
    *(new, add, adopt, plan, preview, check, tidy, correct, build, explain),
    *(kit, edition, verify, publish, words),
)
app.registered_commands.sort(
    key=lambda command: [*_EVENING, command.callback].index(command.callback)
)


def _explain_words() -> None:
    """End the help of each command with the words in it that a tester may not know."""
    for command in app.registered_commands:
        if command.callback is None:
            continue
        lines = glossary_lines(f"{command.callback.__doc__} {_help_of(command.callback)}")
        text = "\n\n".join(lines)
        command.epilog = f"{command.epilog}\n\nWords:\n\n{text}" if lines else command.epilog


def _help_of(callback: Callable[..., object]) -> str:
    """What the help says of a command's options."""
    hints = get_type_hints(callback, include_extras=True).values()
    options = (getattr(hint, "__metadata__", (None,))[0] for hint in hints)
    return " ".join(getattr(option, "help", None) or "" for option in options)


_explain_words()


def main() -> None:
    """Run the command line; every failure that a person can mend ends in its own words."""
    # Matrices here are small: more threads of the linear algebra only wait for each other.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    # Rows by the thousand are made and stay: looking through them for cycles takes a sixth longer.
    gc.set_threshold(200_000, 20, 100)
    try:
        clock()  # libraries read the variable behind it as well, and fail without a word for it
        with keeping(Cache(cache_folder())), long_names_refused():
            app(prog_name="trialpress")
    except TrialpressError as error:
        SafeConsole(stderr=True, soft_wrap=True).print(str(error))
        sys.exit(error.exit_status)
