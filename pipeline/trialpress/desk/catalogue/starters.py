"""Common kinds of trial, to copy and change.

In:  ``kinds_of_trial/``: what a protocol's row begins with, a method text, its cautions.
Out: each as a ``Starter``; its method text under the title that the tester gives it.

Short: the texts are files, so that whoever knows the trials can mend them.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

NOTE = (
    "*Copied from a kind of trial. Change it until it says what you do: readers repeat what "
    "stands here.*"
)


@dataclass(frozen=True)
class Starter:
    """One kind of trial; ``body`` is its method text without title."""

    name: str
    title: str
    cells: Mapping[str, str]
    body: str

    def method(self, title: str) -> str:
        """The method text of a protocol with a title of its own."""
        return f"# {title or self.title}\n\n{NOTE}\n\n{self.body}"


@cache
def starters() -> Mapping[str, Starter]:
    """Every kind of trial by its name, in the order of the file."""
    trials, cautions = _toml("trials.toml"), _toml("cautions.toml")
    return {name: _starter(name, trial, cautions) for name, trial in trials.items()}


def _starter(name: str, trial: Mapping[str, Any], cautions: Mapping[str, str]) -> Starter:
    sentences = "\n".join(cautions[caution].strip("\n") for caution in trial["cautions"])
    body = f"{_text(f'{name}.md').rstrip()}\n\n## Cautions\n\n{sentences}\n"
    return Starter(name, trial["title"], {"title": trial["title"], **trial["cells"]}, body)


def _toml(name: str) -> Mapping[str, Any]:
    return tomllib.loads(_text(name))


def _text(name: str) -> str:
    folder = files("trialpress.desk.catalogue").joinpath("kinds_of_trial")
    return folder.joinpath(name).read_text("utf-8")
