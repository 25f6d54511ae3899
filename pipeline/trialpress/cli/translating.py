"""``words``.

In:  a bench folder and a language.
Out: the bench's translation of the pages, with every text there is, and how many are to be done.
"""

from __future__ import annotations

import json
from dataclasses import asdict
from pathlib import Path
from typing import Annotated

import typer

from trialpress.cli.application import app
from trialpress.cli.options import BenchOption, JsonOption, QuietOption, bench_at


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
    language = "LANGUAGE"; texts without a translation stay English.
    """
    from trialpress.desk.words import write_words  # noqa: PLC0415  imports slowly

    folder = bench_at(bench)
    written = write_words(folder, language)
    if as_json:
        typer.echo(json.dumps(asdict(written), indent=2))
    elif not quiet:
        done = f"{written.translated} of {written.texts} texts are translated"
        typer.echo(f"{folder.translation(language)}: {done}.")
        if written.changed:
            typer.echo(f"{written.changed} changed in English: look at those marked fuzzy again.")
