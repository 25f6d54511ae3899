"""The commands: the only module that prints, exits, and reads the clock or the environment.

In:  what was typed on the command line.
Out: text for people, or JSON for programs, and an exit status: 0 done, 1 the data have faults,
     2 wrong use, 3 the outside world failed.
"""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import asdict
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer
from rich.console import Console
from rich.table import Table

from trialpress import __version__
from trialpress.bench import Bench
from trialpress.errors import TrialpressError, UsageError
from trialpress.intake import FaultyBenchError, Finding, read_bench

if TYPE_CHECKING:
    from trialpress.flow import Output

app = typer.Typer(
    name="trialpress",
    help="Checked results, a site and an open dataset from hand-typed cleaning trials.",
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
JsonOption = Annotated[bool, typer.Option("--json", help="Print findings as JSON, for programs.")]
QuietOption = Annotated[bool, typer.Option("--quiet", help="Print findings only.")]


class NoBenchError(UsageError):
    """The folder is no bench."""

    def __init__(self, folder: Path) -> None:
        super().__init__(
            f"{folder} has no data/bench.toml, so it is no bench folder. "
            "Go to the bench folder, or name it with --bench DIR."
        )


class DateOptionError(UsageError):
    """A date on the command line is none."""

    def __init__(self, text: str) -> None:
        super().__init__(f"--as-of {text} is no date. Write it as YYYY-MM-DD, such as 2026-03-01.")


class OutputOptionError(UsageError):
    """``--only`` names something that is not built."""

    def __init__(self, text: str, known: Sequence[str]) -> None:
        super().__init__(f"--only {text} is not built. Choose from: {', '.join(known)}.")


def main() -> None:
    """Run the command line; every failure that a person can mend ends in its own words."""
    try:
        app()
    except TrialpressError as error:
        Console(stderr=True, highlight=False, markup=False, soft_wrap=True).print(str(error))
        sys.exit(error.exit_status)


@app.callback(invoke_without_command=True)
def about(
    version: Annotated[bool, typer.Option("--version", help="Print the version.")] = False,  # noqa: FBT002
) -> None:
    """Checked results, a site and an open dataset from hand-typed cleaning trials."""
    if version:
        typer.echo(f"trialpress {__version__}")
        raise typer.Exit


@app.command(epilog="Example: trialpress check --bench my-bench")
def check(
    bench: BenchOption = Path(),
    as_of: AsOfOption = None,
    as_json: JsonOption = False,  # noqa: FBT002
    quiet: QuietOption = False,  # noqa: FBT002
) -> None:
    """Read every file and report every fault, without building anything.

    Without --as-of everything typed so far is checked, later days included.
    """
    folder = _bench_at(bench)
    until = _date_of(as_of) if as_of else None
    try:
        findings = read_bench(folder, until).findings
    except FaultyBenchError as error:
        _report(error.findings, as_json=as_json)
        raise typer.Exit(error.exit_status) from None
    _report(findings, as_json=as_json)
    if not as_json and not quiet:
        typer.echo(_summary(findings))


@app.command(epilog="Example: trialpress build --as-of 2026-03-01 --out preview")
def build(  # noqa: PLR0913, PLR0917  one parameter an option
    bench: BenchOption = Path(),
    as_of: AsOfOption = None,
    out: Annotated[
        Path | None, typer.Option("--out", metavar="DIR", help="Write here, not into build/.")
    ] = None,
    only: Annotated[
        list[str] | None,
        typer.Option("--only", metavar="OUTPUT", help="Write this alone: store, dataset or site."),
    ] = None,
    as_json: JsonOption = False,  # noqa: FBT002
    quiet: QuietOption = False,  # noqa: FBT002
) -> None:
    """Check the data, work out the results, and write store, dataset and site.

    Where the data have faults nothing is replaced: the last good outputs stay.
    """
    from trialpress import flow  # noqa: PLC0415  the stages import slowly, and `check` needs none

    folder = _bench_at(bench)
    target = out if out is not None else folder.root / "build"
    outputs = _outputs(only)
    try:
        with _progress(quiet=quiet or as_json) as tell:
            order = flow.Order(folder, _date_of(as_of), target, outputs, tell)
            findings = flow.build(order)
    except FaultyBenchError as error:
        _report(error.findings, as_json=as_json)
        raise typer.Exit(error.exit_status) from None
    _report(findings, as_json=as_json)
    if not as_json and not quiet:
        typer.echo(f"{_summary(findings)} Written to {target}:")
        for output in outputs:
            typer.echo(f"  {target / output.start_at}")


@app.command(
    epilog="Example: trialpress explain hall-07, or trialpress explain soft-brush deep-rug"
)
def explain(  # noqa: PLR0913, PLR0917  one parameter an option
    what: Annotated[str, typer.Argument(metavar="RUN|SETUP", help="A run, or a set-up.")],
    protocol: Annotated[
        str | None, typer.Argument(help="With a set-up: the protocol to explain it under.")
    ] = None,
    version: Annotated[
        int | None, typer.Option("--version", help="An earlier version of the protocol.")
    ] = None,
    bench: BenchOption = Path(),
    as_of: AsOfOption = None,
    as_json: JsonOption = False,  # noqa: FBT002
) -> None:
    """Show how a figure came about, from the rows as typed to the place in the standing."""
    from trialpress import flow, telling  # noqa: PLC0415  the stages import slowly

    folder = _bench_at(bench)
    try:
        explanation = flow.explain(folder, _date_of(as_of), what, protocol, version)
    except FaultyBenchError as error:
        _report(error.findings, as_json=as_json)
        raise typer.Exit(error.exit_status) from None
    if as_json:
        typer.echo(json.dumps(asdict(explanation), ensure_ascii=False, indent=2))
    else:
        telling.tell(explanation, Console(highlight=False, markup=False))


def _bench_at(root: Path) -> Bench:
    bench = Bench(root)
    if not bench.settings_file.is_file():
        raise NoBenchError(root)
    return bench


def _date_of(text: str | None) -> date:
    """The date asked for; else today, which SOURCE_DATE_EPOCH may set."""
    if text is not None:
        try:
            return date.fromisoformat(text)
        except ValueError:
            raise DateOptionError(text) from None
    epoch = os.environ.get("SOURCE_DATE_EPOCH")
    if epoch is not None:
        return datetime.fromtimestamp(int(epoch), UTC).date()
    return datetime.now().astimezone().date()


def _outputs(only: Sequence[str] | None) -> tuple[Output, ...]:
    from trialpress.flow import Output  # noqa: PLC0415

    if not only:
        return tuple(Output)
    known = [output.value for output in Output]
    for name in only:
        if name not in known:
            raise OutputOptionError(name, known)
    return tuple(output for output in Output if output.value in only)


@contextmanager
def _progress(*, quiet: bool) -> Iterator[Callable[[str], None]]:
    """Words beside a spinner on a terminal, nothing in a pipe."""
    console = Console(stderr=True)
    if quiet or not console.is_terminal:
        yield lambda _: None
        return
    with console.status("starting") as status:
        yield status.update


def _report(findings: Sequence[Finding], *, as_json: bool) -> None:
    """All findings: JSON when asked, a table on a terminal, plain lines in a pipe."""
    if as_json:
        typer.echo(
            json.dumps([finding.as_json() for finding in findings], ensure_ascii=False, indent=2)
        )
        return
    console = Console(highlight=False, markup=False)
    if console.is_terminal:
        _print_table(console, findings)
        return
    for finding in findings:
        typer.echo(f"{finding.severity.value}: {finding.text}")


def _print_table(console: Console, findings: Sequence[Finding]) -> None:
    if not findings:
        return
    table = Table(show_lines=True)
    for heading in ("", "where", "what is wrong", "what to do"):
        table.add_column(heading, overflow="fold")
    for finding in findings:
        table.add_row(finding.severity.value, finding.where, finding.problem, finding.remedy)
    console.print(table)


def _summary(findings: Sequence[Finding]) -> str:
    if not findings:
        return "No faults found."
    noun = "warning" if len(findings) == 1 else "warnings"
    return f"No faults found, {len(findings)} {noun}."


if __name__ == "__main__":
    main()
