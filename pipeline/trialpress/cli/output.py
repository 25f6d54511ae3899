"""The way out to a terminal or a pipe, and findings on it.

In:  text, findings.
Out: a table on a terminal, plain lines in a pipe, JSON when asked. Typed rows, names of files and
     other people's spreadsheets may hold what a terminal would obey: all goes through ``neutral``.
"""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import Any

import typer
from rich.console import Console
from rich.table import Table
from rich.text import Text

from trialpress.glossary import glossary_lines
from trialpress.intake import FaultyBenchError, Finding, Severity


def neutral(text: str) -> str:
    """Text with every character that a terminal would obey, or hide, as JSON would write it."""
    if text.isprintable():
        return text
    return "".join(char if _is_shown(char) else json.dumps(char)[1:-1] for char in text)


def _is_shown(char: str) -> bool:
    return char.isprintable() or char == "\n" or unicodedata.category(char) == "Zs"


def echo(text: str = "", *, err: bool = False) -> None:
    """Print a text and the end of its line."""
    typer.echo(neutral(text), err=err)


class SafeConsole(Console):
    """Prints texts, and tables of them, as they are: none is obeyed as markup or by a terminal."""

    def __init__(self, **options: Any) -> None:  # noqa: ANN401  those of the console
        super().__init__(highlight=False, markup=False, **options)

    def render_str(self, text: str, **options: Any) -> Text:  # noqa: ANN401
        """A string as it is to be printed, wherever it stands."""
        return super().render_str(neutral(text), **options)


def report(findings: Sequence[Finding], *, as_json: bool) -> None:
    """All findings: JSON when asked, a table on a terminal, plain lines in a pipe."""
    if as_json:
        echo_json([finding.as_json() for finding in findings])
        return
    console = SafeConsole()
    if console.is_terminal:
        _print_table(console, findings)
    else:
        for finding in findings:
            echo(f"{finding.severity.value}: {finding.text}")
    # Warnings come again with every build: their words are not explained each time.
    faults = [finding for finding in findings if finding.severity is Severity.ERROR]
    lines = glossary_lines(
        " ".join(f"{finding.column} {finding.problem} {finding.remedy}" for finding in faults)
    )
    if lines:
        echo("\n".join(["Words:", *(f"  {line}" for line in lines)]))


def echo_json(content: object) -> None:
    """An answer for programs."""
    echo(json.dumps(content, ensure_ascii=False, indent=2))


@contextmanager
def faults_reported(*, as_json: bool) -> Iterator[None]:
    """End the command with a report of all faults where the data have any."""
    try:
        yield
    except FaultyBenchError as error:
        report(error.findings, as_json=as_json)
        raise typer.Exit(error.exit_status) from None


def _print_table(console: Console, findings: Sequence[Finding]) -> None:
    if not findings:
        return
    table = Table(show_lines=True)
    for heading in ("", "where", "what is wrong", "what to do"):
        table.add_column(heading, overflow="fold")
    for finding in findings:
        table.add_row(finding.severity.value, finding.where, finding.problem, finding.remedy)
    console.print(table)


def summary(findings: Sequence[Finding]) -> str:
    """The last line of a command that found no errors."""
    if not findings:
        return "No faults found."
    noun = "warning" if len(findings) == 1 else "warnings"
    return f"No faults found, {len(findings)} {noun}."


@contextmanager
def progress(*, quiet: bool, is_still: bool = False) -> Iterator[Callable[[str], None]]:
    """Words beside a spinner on a terminal, nothing in a pipe.

    ``is_still`` gives a line each instead, where another program may ask for a password.
    """
    console = SafeConsole(stderr=True)
    if quiet or not console.is_terminal:
        yield lambda _: None
        return
    if is_still:
        yield console.print
        return
    with console.status("starting") as status:
        yield status.update
