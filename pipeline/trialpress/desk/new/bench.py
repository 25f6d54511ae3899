"""An empty bench that passes ``check``.

In:  a folder that is empty or not there, today, the schemas that ``check`` goes by.
Out: the folder with a bench in it: settings, a catalogue with one example protocol, a README, what
     every column holds, a workflow that publishes, and sample server headers. Whole, or not at all.
"""

from __future__ import annotations

import hashlib
import io
import re
import shutil
import zipfile
from collections.abc import Iterator, Mapping
from datetime import date
from importlib.abc import Traversable
from importlib.resources import files
from pathlib import Path

from trialpress import __version__
from trialpress.bench import TABLES
from trialpress.desk.replacing import NotKeptError, replace_durably
from trialpress.errors import UsageError
from trialpress.intake import Field, TableSchema, read_schema

PLACES: Mapping[str, str] = {"gitignore": ".gitignore"}
"""Where files go that would mean something to other programs if they were so called here."""
WORKFLOW, IS_OFF = ".github/workflows/publish.yml", ".github/publish.yml.off"
OFF = """# This workflow is off: it does not know where to install Trialpress from. To switch it on,
# make another bench from a wheel, which `make wheel` in a checkout of Trialpress puts into dist/:
#   trialpress new other-bench --wheel trialpress-{version}-py3-none-any.whl
# Copy its wheels/, requirements.txt and .github/ here, and delete this file.
#
"""
LOCK = "trialpress/requirements.txt"
WHEEL_NAME = re.compile(r"trialpress-[\w.!+]+-py3-none-any\.whl", re.ASCII)
"""What pip goes by; a copy that a browser has renamed cannot be installed."""


_HEAD = """# The columns

What each file of a bench holds. A column in bold must be filled in; one with a star may stay blank
until the run is made; all others may be blank, or left out of the file. Rows refer to each other by
the names in the first column, which are yours to choose: lower-case letters, digits and hyphens.
A date is typed as 2031-03-02, and a time as 2031-03-02T19:05.
"""


class WheelError(UsageError):
    """The file is no wheel of Trialpress."""

    def __init__(self, file: Path) -> None:
        super().__init__(
            f"{file} is no wheel of Trialpress with the list of what it needs, under a name like "
            f"trialpress-{__version__}-py3-none-any.whl. `make wheel` in a checkout of Trialpress "
            "makes one in dist/."
        )


class FolderTakenError(UsageError):
    """The folder for the new bench is not empty."""

    def __init__(self, folder: Path) -> None:
        super().__init__(
            f"{folder} is not empty, so nothing was written to it. Name a new folder: "
            "trialpress new my-bench"
        )


def new_bench(folder: Path, today: date, wheel: Path | None = None) -> tuple[str, ...]:
    """Make an empty bench.

    Parameters
    ----------
    folder : Path
        Where; made where it is not there.
    today : date
        From when on the example protocol holds.
    wheel : Path, optional
        A wheel of Trialpress to keep with the bench: the workflow that publishes installs it, and
        all that it needs, by hash. Without one the workflow is off.

    Returns
    -------
    tuple of str
        The files written, relative to ``folder``, in sorted order.

    Raises
    ------
    FolderTakenError
        If there is anything in the folder already.
    WheelError
        If ``wheel`` is no wheel of Trialpress.
    NotKeptError
        If the disk refuses; nothing is left behind then.
    """
    folder = folder.absolute()
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise FolderTakenError(folder)
    new = folder.with_name(f".{folder.name}.new")
    texts = dict(_texts(files("trialpress.desk.new") / "empty_bench", today))
    texts["COLUMNS.md"] = columns_text(today)
    texts["headers.sample"] = files("trialpress").joinpath("site", "headers.txt").read_text("utf-8")
    contents = {name: text.encode("utf-8") for name, text in texts.items()}
    contents = dict(sorted((contents | _installation(contents.pop("workflow.yml"), wheel)).items()))
    try:
        shutil.rmtree(new, ignore_errors=True)
        for name, content in contents.items():
            replace_durably(new / name, content)
        (new / "data" / "days").mkdir()
        new.replace(folder)  # takes the place of an empty folder, of nothing else
    except OSError as error:
        raise NotKeptError(folder, error) from error
    finally:
        shutil.rmtree(new, ignore_errors=True)
    return tuple(contents)


def _texts(folder: Traversable, today: date, above: str = "") -> Iterator[tuple[str, str]]:
    for entry in folder.iterdir():
        name = f"{above}{entry.name}"
        if entry.is_dir():
            yield from _texts(entry, today, f"{name}/")
        else:
            text = entry.read_text(encoding="utf-8").replace("{{ version }}", __version__)
            yield PLACES.get(name, name), text.replace("{{ today }}", today.isoformat())


def _installation(workflow: bytes, wheel: Path | None) -> dict[str, bytes]:
    """What a forge needs to publish: the workflow, the wheel and, by hash, all that it needs."""
    if wheel is None:
        return {IS_OFF: OFF.format(version=__version__).encode() + workflow}
    if not WHEEL_NAME.fullmatch(wheel.name):
        raise WheelError(wheel)
    try:
        content = wheel.read_bytes()
        lock = zipfile.ZipFile(io.BytesIO(content)).read(LOCK).decode("utf-8")
    except (OSError, KeyError, ValueError, zipfile.BadZipFile):
        raise WheelError(wheel) from None
    digest = hashlib.sha256(content).hexdigest()
    line = f"./wheels/{wheel.name} --hash=sha256:{digest}\n"
    return {
        WORKFLOW: workflow,
        f"wheels/{wheel.name}": content,
        "requirements.txt": f"{lock}{line}".encode(),
    }


def columns_text(today: date) -> str:
    """The whole page, in Markdown; the examples are of today."""
    examples = files("trialpress.desk.new").joinpath("reading_examples.md").read_text("utf-8")
    return "\n".join([_HEAD, *_tables(), examples.replace("{{ today }}", today.isoformat())])


def _tables() -> Iterator[str]:
    for table in TABLES:
        schema = read_schema(table)
        yield f"## {table}.csv\n\n{schema.description}\n"
        yield "| column | what it holds |\n|---|---|"
        yield "\n".join(_line(schema, field) for field in schema.fields) + "\n"


def _line(schema: TableSchema, field: Field) -> str:
    name = f"**{field.name}**" if field.required else field.name
    star = r"\*" if field.blank_until_run else ""
    where = [reference.table for reference in schema.references if field.name in reference.columns]
    refers = f" As in {where[0]}.csv." if where else ""
    meaning = f"{field.meaning}{refers}".replace("|", r"\|")
    return f"| {name}{star} | {meaning} |"
