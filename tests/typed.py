"""Commands as typed on the command line, run in this process: a new one takes a second to start.

What a process of its own does (kills, signals, the shell) is tested in ``desk/kills.py``'s users.
"""

from __future__ import annotations

import io
import os
import sys
from contextlib import chdir, redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path
from unittest import mock

from trialpress.cli import main


@dataclass(frozen=True)
class Said:
    """What a command left behind: its exit status and what it printed."""

    returncode: int
    stdout: str
    stderr: str


def trialpress(*arguments: str, folder: Path, **environment: str) -> Said:
    """Type one command in a folder, with nothing in the environment but what is given."""
    out, errors = io.StringIO(), io.StringIO()
    bare = {"PATH": "/usr/bin:/bin", "XDG_CACHE_HOME": os.environ["XDG_CACHE_HOME"]}
    with (
        chdir(folder),
        mock.patch.dict(os.environ, {**bare, **environment}, clear=True),
        mock.patch.object(sys, "argv", ["trialpress", *arguments]),
        redirect_stdout(out),
        redirect_stderr(errors),
    ):
        try:
            main()
        except SystemExit as end:
            status = end.code
    return Said(int(status or 0), out.getvalue(), errors.getvalue())
