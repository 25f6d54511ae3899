"""``check`` and ``build``.

In:  a bench folder and a date.
Out: findings; for ``build`` the outputs too.
"""

from __future__ import annotations

import gc
import json
import os
from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from trialpress.cache import Cache
from trialpress.cli.application import (
    AsOfOption,
    BenchOption,
    JsonOption,
    QuietOption,
    TrustOption,
    app,
    bench_at,
    cache_folder,
    clock,
    date_of,
    dates_since,
)
from trialpress.cli.filming import tell_kits
from trialpress.cli.output import echo, faults_reported, progress, report, summary
from trialpress.errors import UsageError
from trialpress.intake import CheckedBench, Finding, read_bench

if TYPE_CHECKING:
    from trialpress.bench import Meter
    from trialpress.flow import Output
    from trialpress.kit import WrittenKit

OBJECTS_BETWEEN_COLLECTIONS = 100_000


class OutputOptionError(UsageError):
    """``--only`` names something that is not built."""

    def __init__(self, text: str, known: Sequence[str]) -> None:
        super().__init__(f"--only {text} is not built. Choose from: {', '.join(known)}.")


@app.command(epilog="Example: trialpress check --bench my-bench")
def check(
    bench: BenchOption = Path(),
    as_of: AsOfOption = None,
    meters: Annotated[  # noqa: FBT002
        bool, typer.Option("--meters", help="Read once from each meter of bench.toml, too.")
    ] = False,
    as_json: JsonOption = False,  # noqa: FBT002
    quiet: QuietOption = False,  # noqa: FBT002
) -> None:
    """Read every file and report every fault, building nothing.

    Without --as-of everything typed so far is checked, later days included. With it, what becomes
    visible next, and when, is told too. With --meters the line that each sends is shown, and what
    was understood of it.
    """
    folder = bench_at(bench)
    until = date_of(as_of) if as_of else None
    with faults_reported(as_json=as_json):
        checked = read_bench(folder, until, clock() if until is None else None)
    report(checked.findings, as_json=as_json)
    if not as_json and not quiet:
        echo(summary(checked.findings))
        if until is not None:
            _tell_what_comes(checked, until)
    if meters:
        _tell_meters(checked.settings.meters)


def _tell_meters(meters: Sequence[Meter]) -> None:
    """One reading of each meter; those without one are told at the end.

    Raises
    ------
    MeterError
        The first of them, when all have been asked.
    """
    from trialpress.desk.meters import MeterError, measure  # noqa: PLC0415  few have one

    echo("" if meters else "There is no [[meters]] in bench.toml.")
    failed = list[MeterError]()
    for meter in meters:
        echo(f"{meter.name} at {meter.port}: put something on it, or press its key to send.")
        try:
            reading = measure(meter)
        except MeterError as error:
            echo(f"  {error}")
            failed.append(error)
        else:
            echo(f"  “{reading.line}” says {reading.value} {reading.unit}.")
    if failed:
        raise failed[0]


def _tell_what_comes(checked: CheckedBench, as_of: date) -> None:
    from trialpress.intake.embargo import what_comes  # noqa: PLC0415

    coming = what_comes(checked, as_of)
    echo("To become visible:" if coming else f"Nothing is dated after {as_of}.")
    for event in coming:
        echo(f"  {event.text}")


@app.command(epilog="Example: trialpress build --as-of 2026-03-01 --out preview")
def build(  # noqa: PLR0913, PLR0917  one parameter an option
    bench: BenchOption = Path(),
    as_of: AsOfOption = None,
    out: Annotated[
        Path | None, typer.Option("--out", metavar="DIR", help="Write here, not into build/.")
    ] = None,
    only: Annotated[
        list[str] | None,
        typer.Option(
            "--only",
            metavar="OUTPUT",
            help="Write this alone: store, dataset or site; or kit, which makes kits anew.",
        ),
    ] = None,
    since: Annotated[
        list[str] | None,
        typer.Option("--since", metavar="DATE", help="Tell too what moved since this date."),
    ] = None,
    scheduler: Annotated[
        str | None,
        typer.Option(
            "--scheduler",
            metavar="ADDRESS",
            help="Have a Dask cluster that you trust draw and write, not this machine alone.",
        ),
    ] = None,
    trust_templates: TrustOption = False,  # noqa: FBT002
    as_json: JsonOption = False,  # noqa: FBT002
    quiet: QuietOption = False,  # noqa: FBT002
) -> None:
    """Check the data, work out the results, write the outputs.

    Where the data have faults nothing is replaced: the last good outputs stay.
    """
    from trialpress import flow  # noqa: PLC0415  the stages import slowly, and `check` needs none
    from trialpress.cluster import cluster  # noqa: PLC0415
    from trialpress.products import process_pool  # noqa: PLC0415

    # Nearly all that a build makes lives until its end: looking for waste less often saves 5 %.
    gc.set_threshold(OBJECTS_BETWEEN_COLLECTIONS)
    folder = bench_at(bench, trusts_templates=trust_templates)
    target = out if out is not None else folder.root / "build"
    outputs, until = _outputs(only), date_of(as_of)
    kept = Cache(cache_folder())
    makers = cluster(kept, scheduler) if scheduler else process_pool(kept, os.cpu_count() or 1)
    from_dates = dates_since(since or (), until)
    kits: tuple[WrittenKit, ...] = ()
    findings: tuple[Finding, ...] = ()
    with (
        faults_reported(as_json=as_json),
        progress(quiet=quiet or as_json) as tell,
        makers as products,
    ):
        if outputs:
            order = flow.Order(folder, until, target, outputs, tell, from_dates, products)
            findings = flow.build(order)
        if flow.KITS in (only or ()):
            asked = flow.KitsOrder(folder, until, clock().date(), target, (), tell, kept)
            kits = flow.make_kits(asked)
    kept.trim()
    report(findings, as_json=as_json)
    if not as_json and not quiet:
        if outputs:
            _tell_report(json.loads((target / flow.REPORT).read_text("utf-8")))
            echo(f"{summary(findings)} Written to {target}:")
            for output in outputs:
                echo(f"  {target / output.start_at}")
        tell_kits(kits, target / flow.KITS)
        if flow.KITS in (only or ()) and not kits:
            echo(f"There is no kit in {target / flow.KITS} to draw anew. trialpress kit makes one.")


def _tell_report(notices: Mapping[str, Sequence[str]]) -> None:
    for line in notices["bench_watch"]:
        echo(f"bench watch: {line}")
    for line in notices["films_to_correct"]:
        echo(f"to pin below a film: {line}")
    for name in notices["older_kits"]:
        echo(f"older than the data: kit {name}. trialpress build --only kit makes it anew.")


def _outputs(only: Sequence[str] | None) -> tuple[Output, ...]:
    from trialpress.flow import KITS, Output  # noqa: PLC0415

    if not only:
        return tuple(Output)
    known = [*(output.value for output in Output), KITS]
    for name in only:
        if name not in known:
            raise OutputOptionError(name, known)
    return tuple(output for output in Output if output.value in only)
