"""``new``, ``tidy`` and ``words``: commands that write a bench's own files.

In:  a folder for a new bench; or a bench folder, and its table files or a language.
Out: a bench that passes ``check``; tables in the house form, each original kept; every text of the
     pages in a file to translate.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from trialpress.cli.application import BenchOption, JsonOption, QuietOption, app, bench_at, date_of
from trialpress.cli.output import echo, echo_json
from trialpress.intake import Severity

if TYPE_CHECKING:
    from trialpress.desk.tidy import Tidied


@app.command(epilog="Example: trialpress new my-bench")
def new(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="A new or an empty folder.")],
    wheel: Annotated[
        Path | None,
        typer.Option(
            "--wheel",
            metavar="FILE",
            help="A wheel of Trialpress to keep in the bench, so that its workflow can install it.",
        ),
    ] = None,
    as_json: JsonOption = False,  # noqa: FBT002
    quiet: QuietOption = False,  # noqa: FBT002
) -> None:
    """Make an empty bench that passes check and builds.

    It has one example protocol; its README leads through one evening, from the plan to publishing.
    """
    from trialpress.desk.new import new_bench  # noqa: PLC0415  the file system alone is needed

    written = new_bench(folder, date_of(None), wheel)
    if as_json:
        echo_json([str(folder / name) for name in written])
        return
    if quiet:
        return
    for name in written:
        echo(f"  {folder / name}")
    echo(f"{folder} is a bench. Read its README.md first, then: cd {folder}")


@app.command(epilog="Example: trialpress tidy data/days/2026-03-02-hall/weighings.csv --yes")
def tidy(
    files: Annotated[
        list[str] | None,
        typer.Argument(metavar="[FILE]...", help="Table files, as findings name them; else all."),
    ] = None,
    yes: Annotated[bool, typer.Option("--yes", help="Do it; without, only show it.")] = False,  # noqa: FBT002
    bench: BenchOption = Path(),
    as_json: JsonOption = False,  # noqa: FBT002
    quiet: QuietOption = False,  # noqa: FBT002
) -> None:
    """Rewrite files that a spreadsheet saved in the house form, keeping each original.

    Semicolons become commas, decimal commas points, 26.11.2026 becomes 2026-11-26, TRUE true.
    check and build read both, so there is no need; rows that have the house form stay byte for
    byte. The original is kept in the folder tidied/.
    """
    from trialpress.desk.tidy import tidy as find_untidy  # noqa: PLC0415  imports slowly
    from trialpress.desk.tidy import write_tidied  # noqa: PLC0415
    from trialpress.lock import locked  # noqa: PLC0415

    folder = bench_at(bench)
    with locked(folder):
        found = find_untidy(folder, files or ())
        sound = [file for file in found if not _faults(file)]
        written = write_tidied(folder, sound) if yes else ()
    if as_json:
        echo_json(_as_json(found, written))
    elif not quiet:
        _tell(found, dict(written), done=yes)
    if any(_faults(file) for file in found):
        raise typer.Exit(1)


def _faults(file: Tidied) -> list[str]:
    return [finding.text for finding in file.findings if finding.severity is Severity.ERROR]


def _as_json(
    found: Sequence[Tidied], written: Sequence[tuple[str, str]]
) -> list[dict[str, object]]:
    kept = dict(written)
    return [
        {
            "file": file.name,
            "difference": list(file.difference),
            "faults": _faults(file),
            "original": kept.get(file.name),
        }
        for file in found
    ]


def _tell(found: Sequence[Tidied], kept: dict[str, str], *, done: bool) -> None:
    for file in found:
        echo(file.name)
        for line in _faults(file) or file.difference:
            echo(f"  {line}")
        if file.name in kept:
            echo(f"  Written. The original is kept as {kept[file.name]}.")
        elif _faults(file):
            echo("  Left as it is: mend this first.")
    if not found:
        echo("Every file has the house form.")
    elif not done and not all(_faults(file) for file in found):
        echo("Nothing was written. To write this, add --yes.")


@app.command(epilog="Example: trialpress words pt")
def words(
    language: Annotated[
        str, typer.Argument(metavar="LANGUAGE", help="The tag of a language: de, pt-BR, zh-Hant.")
    ],
    bench: BenchOption = Path(),
    as_json: JsonOption = False,  # noqa: FBT002
    quiet: QuietOption = False,  # noqa: FBT002
) -> None:
    """Write every text of the pages to data/words/LANGUAGE.po, to be translated there.

    What is translated already stays. The pages are in that language once bench.toml says
    language = "LANGUAGE"; texts without a translation stay English. German is there without this:
    its file need only say what a bench words otherwise.
    """
    from trialpress.desk.words import write_words  # noqa: PLC0415  imports slowly
    from trialpress.words.catalogue import shipped_translation  # noqa: PLC0415  imports slowly

    folder = bench_at(bench)
    written = write_words(folder, language)
    if as_json:
        echo_json(asdict(written))
    elif not quiet:
        done = f"{written.translated} of {written.texts} texts are translated"
        echo(f"{folder.translation(language)}: {done}.")
        if shipped_translation(language):
            echo("All others are as Trialpress translates them, which stands beside each.")
        if written.changed:
            echo(f"{written.changed} changed in English: look at those marked fuzzy again.")
