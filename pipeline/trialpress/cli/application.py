"""The application that commands belong to, and the options that several of them take.

In:  text from the command line; the clock, where no date is given.
Out: ``app`` with ``--version``; a bench, a date, and where products are kept.
"""

from __future__ import annotations

import errno
import os
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, date, datetime
from itertools import chain
from pathlib import Path
from typing import Annotated

import typer

from trialpress import __version__
from trialpress.bench import Bench
from trialpress.cli.output import echo
from trialpress.errors import FaultyDataError, UsageError

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


BenchOption = Annotated[
    Path, typer.Option("--bench", metavar="DIR", help="The bench folder, the one with data/ in it.")
]
AsOfOption = Annotated[
    str | None,
    typer.Option(
        "--as-of", metavar="DATE", help="See the bench as of this date (YYYY-MM-DD), not today."
    ),
]
JsonOption = Annotated[bool, typer.Option("--json", help="Print JSON, for programs.")]
TrustOption = Annotated[
    bool,
    typer.Option(
        "--trust-templates", help="Let the bench's own site_templates/ run any code they like."
    ),
]
QuietOption = Annotated[bool, typer.Option("--quiet", help="Print nothing but findings.")]


_SHOWN = 40
"""Letters of either end of a long name that are told."""


class NoBenchError(UsageError):
    """The folder is no bench."""

    def __init__(self, folder: Path) -> None:
        super().__init__(
            f"{folder} has no data/bench.toml, so it is no bench folder. "
            "Go to the bench folder, or name it with --bench DIR."
        )


class DateOptionError(UsageError):
    """A date on the command line is none."""

    def __init__(self, option: str, text: str) -> None:
        super().__init__(f"{option} {text} is no date. Write it as YYYY-MM-DD, such as 2026-03-01.")


class SinceOptionError(UsageError):
    """Movements cannot be told since a date that has not come."""

    def __init__(self, since: date, as_of: date) -> None:
        super().__init__(f"--since {since} is not before {as_of}, the date of the build.")


class EpochError(UsageError):
    """SOURCE_DATE_EPOCH is no time."""

    def __init__(self, text: str) -> None:
        super().__init__(
            f"SOURCE_DATE_EPOCH is {text!r}, which is no time. Set it to whole seconds since 1970, "
            "such as 1767225600, or unset it."
        )


class LongNameError(UsageError):
    """A name was typed that no file can have."""

    def __init__(self, name: str) -> None:
        shown = f"{name[:_SHOWN]}…{name[-_SHOWN:]}"
        super().__init__(f"{shown} is longer than the name of a file may be. Give a shorter one.")


@contextmanager
def long_names_refused() -> Iterator[None]:
    """Say of a typed name that is too long that it is; nothing else is known under it."""
    try:
        yield
    except OSError as error:
        if error.errno != errno.ENAMETOOLONG:
            raise
        raise LongNameError(str(error.filename)) from error


@app.callback(invoke_without_command=True)
def about(
    version: Annotated[bool, typer.Option("--version", help="Print the version.")] = False,  # noqa: FBT002
) -> None:
    """Print the version, or leave the rest to a command."""
    if version:
        echo(f"trialpress {__version__}")
        raise typer.Exit


class LinkedOutError(FaultyDataError):
    """A folder of the bench that is written into lies elsewhere."""

    def __init__(self, folder: Path) -> None:
        super().__init__(
            f"{folder} is a link that leads out of the bench folder, so nothing is read or written "
            "there. Put a folder in its place; outputs go elsewhere with --out DIR."
        )


WRITTEN_INTO = (
    *("build", "data", "data/adopted", "data/catalogue", "data/days", "data/editions"),
    *("data/words", "tidied"),
)
"""Folders of a bench, from its root; each day's own is another."""


def bench_at(root: Path, *, trusts_templates: bool = False) -> Bench:
    """The bench in a folder.

    Raises
    ------
    NoBenchError
        If there is no ``data/bench.toml`` in it.
    LinkedOutError
        If one of its folders lies elsewhere.
    """
    bench = Bench(root, trusts_templates)
    folders = (root / name for name in WRITTEN_INTO)
    for folder in chain(folders, bench.days.glob("*")):
        if folder.is_symlink() and not folder.resolve().is_relative_to(root.resolve()):
            raise LinkedOutError(folder)
    if not bench.settings_file.exists():
        raise NoBenchError(root)
    return bench


def date_of(text: str | None) -> date:
    """The date asked for; else today, which SOURCE_DATE_EPOCH may set."""
    if text is not None:
        return _typed_date("--as-of", text)
    return clock().date()


def clock() -> datetime:
    """What time it is, with its time zone; SOURCE_DATE_EPOCH may set it.

    Raises
    ------
    EpochError
        If that is no time.
    """
    epoch = os.environ.get("SOURCE_DATE_EPOCH")
    if epoch is not None:
        return _time_at(epoch)
    return datetime.now().astimezone()


def _time_at(epoch: str) -> datetime:
    try:
        return datetime.fromtimestamp(int(epoch), UTC)
    except (ValueError, OverflowError, OSError):
        raise EpochError(epoch) from None


def cache_folder() -> Path | None:
    """Where products are kept between builds: the user's cache folder, None where there is none."""
    named = os.environ.get("XDG_CACHE_HOME") or os.environ.get("LOCALAPPDATA")
    try:
        return Path(named or Path.home() / ".cache") / "trialpress"
    except RuntimeError:  # nobody's home is known
        return None


def dates_since(texts: Sequence[str], as_of: date) -> tuple[date, ...]:
    """The dates that movements are told since, each before the date of the build."""
    dates = tuple(_typed_date("--since", text) for text in texts)
    for since in dates:
        if since >= as_of:
            raise SinceOptionError(since, as_of)
    return dates


def _typed_date(option: str, text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise DateOptionError(option, text) from None
