"""``kit``.

In:  a bench folder, what a film is about, a date.
Out: a folder of stills and texts; what is in it, what could not be shown, and warnings.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from trialpress.cache import Cache
from trialpress.cli.application import (
    AsOfOption,
    BenchOption,
    JsonOption,
    QuietOption,
    app,
    bench_at,
    cache_folder,
    clock,
    date_of,
)
from trialpress.cli.completing import complete_protocol, complete_setup
from trialpress.cli.output import echo, echo_json, faults_reported, progress

if TYPE_CHECKING:
    from trialpress.kit import WrittenKit


@app.command(epilog="Example: trialpress kit hollin-20-stock --against hollin-30-stock")
def kit(  # noqa: PLR0913, PLR0917  one parameter an option
    setup: Annotated[
        str | None,
        typer.Argument(
            metavar="SETUP", help="The set-up it is about.", autocompletion=complete_setup
        ),
    ] = None,
    protocols: Annotated[
        list[str] | None,
        typer.Option(
            "--protocols",
            metavar="PROTOCOL",
            help="Show this protocol; several times for several, else all.",
            autocompletion=complete_protocol,
        ),
    ] = None,
    against: Annotated[
        list[str] | None,
        typer.Option(
            "--against",
            metavar="SETUP",
            help="Hold it against this set-up; several times for several.",
            autocompletion=complete_setup,
        ),
    ] = None,
    maker: Annotated[
        str | None, typer.Option("--maker", metavar="MAKER", help="Of a maker, not a set-up.")
    ] = None,
    top: Annotated[
        str | None,
        typer.Option(
            "--top",
            metavar="PROTOCOL",
            help="Of the first places of a protocol, not a set-up.",
            autocompletion=complete_protocol,
        ),
    ] = None,
    bench: BenchOption = Path(),
    as_of: AsOfOption = None,
    out: Annotated[
        Path | None, typer.Option("--out", metavar="DIR", help="Write to DIR/kit/, not build/kit/.")
    ] = None,
    as_json: JsonOption = False,  # noqa: FBT002
    quiet: QuietOption = False,  # noqa: FBT002
) -> None:
    """Draw the stills of a film and write its fact sheet and description.

    Everything is as of one date. What would be the same as in the kit of that name is not drawn
    again. Open its index.html to see all of it.
    """
    from trialpress import flow  # noqa: PLC0415  the stages import slowly
    from trialpress.kit import KitRequest  # noqa: PLC0415

    folder = bench_at(bench)
    target = out if out is not None else folder.root / "build"
    names = tuple(name for typed in protocols or () for name in typed.split(",") if name)
    kept = Cache(cache_folder())
    request = KitRequest(setup, maker, top, names, tuple(against or ()))
    with faults_reported(as_json=as_json), progress(quiet=quiet or as_json) as tell:
        today, until = clock().date(), date_of(as_of)
        order = flow.KitsOrder(folder, until, today, target, (request,), tell, kept)
        written = flow.make_kits(order)
    if as_json:
        echo_json([_as_json(one) for one in written])
    elif not quiet:
        tell_kits(written, target / flow.KITS)


def _as_json(one: WrittenKit) -> dict[str, object]:
    return {
        "kit": one.name,
        "stills": list(one.stills),
        "pictures": one.pictures,
        "drawn_anew": one.drawn_anew,
        "not_shown": {missing.protocol: missing.why for missing in one.not_shown},
        "warnings": list(one.warnings),
    }


def tell_kits(written: Sequence[WrittenKit], folder: Path) -> None:
    """What is in each kit, and what is not."""
    for one in written:
        for missing in one.not_shown:
            echo(f"not shown: {missing.protocol}, as {missing.why}")
        for warning in one.warnings:
            echo(f"warning: {warning}")
        stills = "1 still" if len(one.stills) == 1 else f"{len(one.stills)} stills"
        echo(
            f"{stills} in {one.pictures} pictures, {one.drawn_anew} of them drawn anew. Written to "
            f"{folder / one.name}:"
        )
        echo(f"  {folder / one.name / 'index.html'}")
