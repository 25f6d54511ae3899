"""Whether the raw data, with rows under embargo in them, may have left the machine by git.

In:  the bench folder and today's date.
Out: sentences that say exactly what was seen; whether a remote is public cannot be seen from here.
"""

from __future__ import annotations

import re
import subprocess
from collections.abc import Iterator
from datetime import date
from pathlib import Path

from trialpress.bench import Bench
from trialpress.intake.cells import is_date
from trialpress.intake.csvfile import read_contents
from trialpress.intake.folder import TableFile

_PASSWORD = re.compile(r"(://)[^/@\s]+@")


def embargo_warnings(bench: Bench, today: date) -> tuple[str, ...]:
    """One sentence a git remote of the raw data, where committed files hold hidden set-ups."""
    hidden = [f"{setup} (until {until})" for setup, until in _committed(bench, today)]
    if not hidden:
        return ()
    return tuple(
        f"The last commit of the raw data holds set-ups under embargo: {', '.join(hidden)}. "
        f"The raw data have the git remote {remote}. Whoever can read that remote can read them "
        "once they are pushed there; make sure that it is private."
        for remote in _remotes(bench)
    )


def _remotes(bench: Bench) -> list[str]:
    lines = _git(bench.root, "remote", "--verbose").splitlines()
    named = {_PASSWORD.sub(r"\1", line.rpartition(" (")[0]).replace("\t", " at ") for line in lines}
    return sorted(named)


def _committed(bench: Bench, today: date) -> Iterator[tuple[str, str]]:
    text = _git(bench.root, "show", "HEAD:./data/catalogue/setups.csv")
    file = TableFile(bench.catalogue / "setups.csv", "data/catalogue/setups.csv", "setups")
    for row in read_contents(text.removeprefix("\ufeff"), file).rows:
        day = row.cells["publish_on"]
        if day is not None and (not is_date(day) or day > today.isoformat()):
            yield str(row.cells["setup"]), day


def _git(folder: Path, *arguments: str) -> str:
    """What git says; nothing where there is no git or no repository."""
    try:
        done = subprocess.run(  # noqa: S603  arguments are ours
            ["git", *arguments],  # noqa: S607  the tester's own git
            cwd=folder,
            check=False,
            capture_output=True,
            encoding="utf-8",
            errors="replace",
        )
    except OSError:
        return ""
    return done.stdout if done.returncode == 0 else ""
