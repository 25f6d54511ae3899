"""An empty bench that passes ``check``.

In:  a folder that is empty or not there, and today.
Out: the folder with a bench in it: settings, a catalogue with one example protocol, a README,
     what every column holds, a workflow that publishes, and sample server headers. Whole, or not
     at all.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator, Mapping
from datetime import date
from importlib.abc import Traversable
from importlib.resources import files
from pathlib import Path

from trialpress import __version__
from trialpress.desk.append import NotKeptError, replace_durably
from trialpress.desk.columns import columns_text
from trialpress.errors import UsageError

PLACES: Mapping[str, str] = {
    "gitignore": ".gitignore",
    "workflow.yml": ".github/workflows/publish.yml",
}
"""Where files go that would mean something to other programs if they were so called here."""


class FolderTakenError(UsageError):
    """The folder for the new bench is not empty."""

    def __init__(self, folder: Path) -> None:
        super().__init__(
            f"{folder} is not empty, so nothing was written to it. Name a new folder: "
            "trialpress new my-bench"
        )


def new_bench(folder: Path, today: date) -> tuple[str, ...]:
    """Make an empty bench.

    Parameters
    ----------
    folder : Path
        Where; made where it is not there.
    today : date
        From when on the example protocol holds.

    Returns
    -------
    tuple of str
        The files written, relative to ``folder``, in sorted order.

    Raises
    ------
    FolderTakenError
        If there is anything in the folder already.
    NotKeptError
        If the disk refuses; nothing is left behind then.
    """
    folder = folder.absolute()
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise FolderTakenError(folder)
    new = folder.with_name(f".{folder.name}.new")
    texts = dict(_texts(files("trialpress.desk") / "empty_bench", today))
    texts = dict(sorted({**texts, "COLUMNS.md": columns_text()}.items()))
    try:
        shutil.rmtree(new, ignore_errors=True)
        for name, text in texts.items():
            replace_durably(new / name, text.encode("utf-8"))
        (new / "data" / "days").mkdir()
        new.replace(folder)  # takes the place of an empty folder, of nothing else
    except OSError as error:
        raise NotKeptError(folder, error) from error
    finally:
        shutil.rmtree(new, ignore_errors=True)
    return tuple(texts)


def _texts(folder: Traversable, today: date, above: str = "") -> Iterator[tuple[str, str]]:
    for entry in folder.iterdir():
        name = f"{above}{entry.name}"
        if entry.is_dir():
            yield from _texts(entry, today, f"{name}/")
        else:
            text = entry.read_text(encoding="utf-8").replace("{{ version }}", __version__)
            yield PLACES.get(name, name), text.replace("{{ today }}", today.isoformat())
