"""Findings for people and for programs.

In:  findings.
Out: a table on a terminal, plain lines in a pipe, JSON when asked.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager

import typer
from rich.console import Console
from rich.table import Table

from trialpress.glossary import glossary_lines
from trialpress.intake import Finding, Severity


def report(findings: Sequence[Finding], *, as_json: bool) -> None:
    """All findings: JSON when asked, a table on a terminal, plain lines in a pipe."""
    if as_json:
        typer.echo(
            json.dumps([finding.as_json() for finding in findings], ensure_ascii=False, indent=2)
        )
        return
    console = Console(highlight=False, markup=False)
    if console.is_terminal:
        _print_table(console, findings)
    else:
        for finding in findings:
            typer.echo(f"{finding.severity.value}: {finding.text}")
    # Warnings come again with every build: their words are not explained each time.
    faults = [finding for finding in findings if finding.severity is Severity.ERROR]
    lines = glossary_lines(
        " ".join(f"{finding.column} {finding.problem} {finding.remedy}" for finding in faults)
    )
    if lines:
        typer.echo("\n".join(["Words:", *(f"  {line}" for line in lines)]))


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
    console = Console(stderr=True, highlight=False, markup=False)
    if quiet or not console.is_terminal:
        yield lambda _: None
        return
    if is_still:
        yield console.print
        return
    with console.status("starting") as status:
        yield status.update
