"""``plan``.

In:  a bench, and perhaps a question to be settled.
Out: the runs that are missing, or those that would settle it.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from trialpress.cli.application import app
from trialpress.cli.findings import report
from trialpress.cli.options import AsOfOption, BenchOption, JsonOption, bench_at, date_of
from trialpress.errors import UsageError
from trialpress.intake import FaultyBenchError

if TYPE_CHECKING:
    from trialpress.desk.advice import MissingRuns, SeparateAdvice, SettleAdvice
    from trialpress.store import Store


class NoProtocolError(UsageError):
    """Two set-ups can only be told apart under a protocol."""

    def __init__(self) -> None:
        super().__init__("--separate A B needs a protocol: add --protocol PROTOCOL.")


@app.command(
    epilog="Example: trialpress plan --settle deep-rug --runs 6, or "
    "trialpress plan --separate soft-brush stiff-brush --protocol deep-rug"
)
def plan(  # noqa: PLR0913, PLR0917  one parameter an option
    settle: Annotated[
        str | None,
        typer.Option(metavar="PROTOCOL", help="Which runs would settle who is in its top cut."),
    ] = None,
    separate: Annotated[
        tuple[str, str] | None,
        typer.Option(metavar="A B", help="How many runs would tell these two set-ups apart."),
    ] = None,
    protocol: Annotated[str | None, typer.Option(help="The protocol for --separate.")] = None,
    top: Annotated[
        int | None, typer.Option(min=1, help="Places in the cut; else those of bench.toml.")
    ] = None,
    runs: Annotated[int, typer.Option(min=1, help="How many runs --settle gives out.")] = 6,
    power: Annotated[
        float, typer.Option(min=0.5, max=0.99, help="Chance to tell apart that is asked for.")
    ] = 0.8,
    bench: BenchOption = Path(),
    as_of: AsOfOption = None,
    as_json: JsonOption = False,  # noqa: FBT002
) -> None:
    """List the runs that are missing, or say which further runs would settle a question.

    A number of runs is fixed beforehand and read once, when all are made: looking after every run
    and stopping as soon as two set-ups can be told apart finds more than there is.
    """
    from trialpress import flow  # noqa: PLC0415  the stages import slowly
    from trialpress.desk import advice  # noqa: PLC0415

    if separate is not None and protocol is None:
        raise NoProtocolError
    try:
        with flow.open_results(bench_at(bench), date_of(as_of)) as store:
            if settle is not None:
                found: object = advice.settle_advice(store, settle, _top(store, top), runs)
            elif separate is not None and protocol is not None:
                found = advice.separate_advice(store, protocol, *separate, power)
            else:
                found = advice.missing_runs(store)
    except FaultyBenchError as error:
        report(error.findings, as_json=as_json)
        raise typer.Exit(error.exit_status) from None
    _tell(found, as_json=as_json)


def _top(store: Store, top: int | None) -> int:
    return top if top is not None else store.settings.top_n


def _tell(found: object, *, as_json: bool) -> None:
    from trialpress.desk.advice import SeparateAdvice, SettleAdvice  # noqa: PLC0415

    match found:
        case SettleAdvice() | SeparateAdvice() if as_json:
            typer.echo(json.dumps(asdict(found), ensure_ascii=False, indent=2))
        case SettleAdvice():
            _tell_settle(found)
        case SeparateAdvice():
            _tell_separate(found)
        case list():
            _tell_missing(found, as_json=as_json)


def _tell_settle(advice: SettleAdvice) -> None:
    where = f"{advice.protocol} version {advice.version}"
    if not advice.further:
        typer.echo(f"{where}: nothing is open about the top {advice.top_n}.")
        return
    typer.echo(f"{where}: {advice.possible} set-ups may or may not be in the top {advice.top_n}.")
    for one in advice.further:
        typer.echo(f"  {one.setup}: {one.runs} more")
    typer.echo(
        f"Doubt {advice.doubt:.2f} now, {advice.doubt_after:.2f} with these runs if the means stay "
        "(0 is settled). Fix the number now, read the standing once, when all are made."
    )


def _tell_separate(advice: SeparateAdvice) -> None:
    typer.echo(
        f"{advice.protocol} version {advice.version}: {advice.setup} minus {advice.other} is "
        f"{advice.difference:.3g} {advice.unit} so far."
    )
    if abs(advice.difference) < advice.matters:
        typer.echo(f"That is less than matters here ({advice.matters:g} {advice.unit}).")
    if advice.further_each is None:
        typer.echo("No number of runs worth making would tell them apart.")
    elif advice.further_each == 0:
        typer.echo(f"They have runs enough for a chance of {advice.power:g}.")
    else:
        typer.echo(
            f"{advice.further_each} more runs of each would tell them apart with a chance of "
            f"{advice.power:g}, if that is the true difference. Read the standing once, when all "
            "are made."
        )


def _tell_missing(missing: Sequence[MissingRuns], *, as_json: bool) -> None:
    if as_json:
        typer.echo(json.dumps([asdict(one) for one in missing], ensure_ascii=False, indent=2))
        return
    if not missing:
        typer.echo("No runs are missing.")
    for one in missing:
        typer.echo(
            f"{one.protocol} version {one.version}: {one.setup} has {one.made}, "
            f"{one.missing} missing"
        )
