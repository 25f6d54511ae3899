"""``preview``.

In:  a bench folder, a port; the clock.
Out: a web server on this machine until it is stopped; findings and cells as files are saved.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from trialpress.cache import Cache
from trialpress.cli.application import (
    AsOfOption,
    BenchOption,
    QuietOption,
    TrustOption,
    app,
    bench_at,
    cache_folder,
    clock,
    date_of,
)
from trialpress.cli.output import echo, report, summary

if TYPE_CHECKING:
    from trialpress.desk.preview import Event, PreviewServer

PORT = 8484
_WORDS = {
    "building": "Building the site.",
    "ahead": "The page in view is new; the others are being made.",
    "built": "The site is new.",
}
PhoneOption = Annotated[
    str | None,
    typer.Option(
        "--phone",
        metavar="ADDRESS",
        help="Answer phones too, at this machine's own private address, for 12 hours.",
    ),
]
EventsOption = Annotated[
    bool, typer.Option("--json", help="Print each event as a line of JSON, for programs.")
]


@app.command(epilog="Example: trialpress preview --bench my-bench --port 8500")
def preview(  # noqa: PLR0913, PLR0917  one parameter an option
    bench: BenchOption = Path(),
    port: Annotated[
        int, typer.Option("--port", min=0, max=65535, help="Where to answer; 0 for any free one.")
    ] = PORT,
    phone: PhoneOption = None,
    as_of: AsOfOption = None,
    trust_templates: TrustOption = False,  # noqa: FBT002
    as_json: EventsOption = False,  # noqa: FBT002
    quiet: QuietOption = False,  # noqa: FBT002
) -> None:
    """Serve the site, a sheet to type runs into and forms for the catalogue, on this machine.

    A saved file is checked at once, here and in the page; the site follows, and pages reload by
    themselves. What is built goes to build/preview/ and is never published from there. Nobody but
    this machine can reach it, and nobody else on it can write. With --phone a phone that scans the
    picture has the bench sheet as well. Stop with Ctrl+C.
    """
    from trialpress.desk.preview import (  # noqa: PLC0415  slow
        Broadcast,
        PreviewServer,
        Watcher,
        private_address,
    )

    folder = bench_at(bench, trusts_templates=trust_templates)
    address = private_address(phone) if phone is not None else None
    date_of(as_of)  # a date that is none is told before anything starts
    broadcast = Broadcast(_teller(as_json=as_json, quiet=quiet))
    out = folder.root / "build" / "preview"
    kept = Cache(cache_folder())
    watcher = Watcher(folder, out, lambda: date_of(as_of), broadcast, clock, kept)
    with PreviewServer(watcher, port) as server, _answering_phones(server, address, as_json):
        try:
            if not as_json:
                site, sheet, screen = server.addresses
                echo(f"The site:        {site}\nThe bench sheet: {sheet}")
                echo(f"To be filmed:    {screen}")
                echo("They are for you alone: whoever opens one can add rows.")
                echo("Stop with Ctrl+C.")
            watcher.start()
            server.serve_forever()
        except KeyboardInterrupt:
            echo("", err=True)
        finally:
            watcher.stop()
            kept.trim()


@contextmanager
def _answering_phones(
    server: PreviewServer,
    address: str | None,
    as_json: bool,  # noqa: FBT001
) -> Iterator[None]:
    """Answer at a second address, where there is one, and show how to get there."""
    from trialpress.desk.preview import PhoneServer, picture_lines  # noqa: PLC0415  as above

    if address is None:
        yield
        return
    with PhoneServer(server, address, lambda: datetime.now(UTC)) as phones:
        if not as_json:
            echo("\n".join(picture_lines(phones.url)))
            echo(f"On a phone:      {phones.url}")
        threading.Thread(target=phones.serve_forever, daemon=True).start()
        try:
            yield
        finally:
            phones.shutdown()


def _teller(*, as_json: bool, quiet: bool) -> Callable[[Event], None]:
    if as_json:
        return lambda event: echo(event.as_json())
    return lambda event: _tell(event, quiet=quiet)


def _tell(event: Event, *, quiet: bool) -> None:
    from trialpress.desk.preview import EventKind  # noqa: PLC0415

    if event.kind is EventKind.CHECKED:
        report(event.findings, as_json=False)
        for cell in event.cells:
            echo(cell)
        if not event.errors and not quiet:
            echo(summary(event.findings))
    elif event.kind is EventKind.FAILED:
        echo(event.words, err=True)
    elif not quiet:
        echo(_WORDS[event.kind.value])
