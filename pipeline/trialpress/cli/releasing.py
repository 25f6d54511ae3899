"""``edition`` and ``verify``.

In:  a bench and a version; or a dataset from anywhere.
Out: what changed since the last edition and the frozen zip; whether a dataset is what it says.
"""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from trialpress.cli.application import (
    AsOfOption,
    BenchOption,
    JsonOption,
    QuietOption,
    app,
    bench_at,
    date_of,
)
from trialpress.cli.output import echo_json, faults_reported, progress

if TYPE_CHECKING:
    from trialpress.desk.edition import MadeEdition
    from trialpress.desk.verify import Verification

MOST_SHOWN = 20


@app.command(epilog="Example: trialpress edition 1.1.0")
def edition(
    version: Annotated[
        str | None,
        typer.Argument(metavar="[VERSION]", help="Freeze under this number; without, only show."),
    ] = None,
    bench: BenchOption = Path(),
    as_of: AsOfOption = None,
    as_json: JsonOption = False,  # noqa: FBT002
    quiet: QuietOption = False,  # noqa: FBT002
) -> None:
    """Show what changed since the last edition; with a version, freeze what is visible.

    An edition is a zip in data/editions/ that is never changed: raw rows, results and their
    descriptions, to be cited and recomputed. A new column or a stricter rule is a major version,
    new rows a minor one, a corrected value a patch; a number that tells of less is refused.
    """
    from trialpress.desk.edition import make_edition  # noqa: PLC0415  imports slowly
    from trialpress.editions import Version  # noqa: PLC0415

    folder, until = bench_at(bench), date_of(as_of)
    asked = Version.of(version) if version else None
    with faults_reported(as_json=as_json), progress(quiet=quiet or as_json) as tell:
        made = make_edition(folder, until, asked, tell)
    if as_json:
        echo_json(_edition_json(made))
    elif not quiet:
        _tell_edition(made)


def _tell_edition(made: MadeEdition) -> None:
    proposal = made.proposal
    typer.echo(made.log.partition("\n## ")[0].rstrip())
    typer.echo("")
    if proposal.last is not None and proposal.step is not None:
        typer.echo(f"Since {proposal.last.version} this is a {proposal.step.word} change.")
    if made.file is not None:
        typer.echo(f"Written: {made.file}. Keep it with the data; trialpress build shows it.")
    else:
        typer.echo(f"Nothing is written. To freeze it: trialpress edition {proposal.version}")


def _edition_json(made: MadeEdition) -> dict[str, object]:
    proposal = made.proposal
    return {
        "last": str(proposal.last.version) if proposal.last else None,
        "proposed": str(proposal.version),
        "step": proposal.step.word if proposal.step is not None else None,
        "changes": asdict(proposal.changes) if proposal.changes else None,
        "written": str(made.file) if made.file else None,
    }


@app.command(epilog="Example: trialpress verify trialpress-dataset.zip")
def verify(
    dataset: Annotated[Path, typer.Argument(help="The zip of an edition, or a dataset's folder.")],
    as_json: JsonOption = False,  # noqa: FBT002
    quiet: QuietOption = False,  # noqa: FBT002
) -> None:
    """Work out every published result of a dataset from its raw rows, and compare.

    No bench is needed, and the file may come from anywhere. Exit status 0: all of it is confirmed;
    1: it was changed, and every difference is named; 3: the figures differ, but they were made by
    another version of this program, and only that one can tell.
    """
    from trialpress.desk.verify import VerificationOutcome, verify_dataset  # noqa: PLC0415  imports slowly

    with progress(quiet=quiet or as_json) as tell:
        done = verify_dataset(dataset, tell)
    if as_json:
        echo_json(_verification_json(done))
    elif not quiet or done.verdict is not VerificationOutcome.CONFIRMED:
        _tell_verification(done)
    if done.verdict is not VerificationOutcome.CONFIRMED:
        raise typer.Exit(1 if done.verdict is VerificationOutcome.CHANGED else 3)


def _tell_verification(done: Verification) -> None:
    typer.echo(f"Dataset {done.version} as of {done.as_of}, made by {done.made_by.text}.")
    if done.sum:
        typer.echo(f"SHA-256 of the zip: {done.sum}")
        typer.echo("Compare it with the one on the page of editions of whoever published it.")
    for fault in done.faults:
        typer.echo(f"fault: {fault}")
    found = [*done.formats, *done.results]
    for difference in found[:MOST_SHOWN]:
        typer.echo(f"difference: {difference.text}")
    if len(found) > MOST_SHOWN:
        typer.echo(f"and {len(found) - MOST_SHOWN} differences more; --json lists all.")
    typer.echo(_VERDICTS[done.verdict.value].format(done=done))


_VERDICTS = {
    "confirmed": (
        "Confirmed: every file is as it was, all formats say the same, and the raw rows give every "
        "published result ({done.tables} tables, {done.rows:,} rows)."
    ),
    "changed": "Changed: this is not what the program wrote.",
    "undecided": (
        "Not decided: the files are whole and all formats say the same, but this program, "
        "{done.read_by.text}, works out other figures than {done.made_by.text}. Verify with that "
        "version to tell its figures from tampering."
    ),
}


def _verification_json(done: Verification) -> dict[str, object]:
    return {
        "verdict": done.verdict.value,
        "version": done.version,
        "as_of": done.as_of.isoformat(),
        "made_by": asdict(done.made_by),
        "read_by": asdict(done.read_by),
        "sha256": done.sum,
        "faults": list(done.faults),
        "differences": [asdict(one) for one in (*done.formats, *done.results)],
    }
