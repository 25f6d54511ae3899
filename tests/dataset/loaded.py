"""What a line of Python that loads data gives, as somebody would type it."""

from __future__ import annotations

from typing import Any


def loaded(code: str) -> Any:  # noqa: ANN401  a frame, or rows by table
    """Run the import that the line begins with, and give the value of the rest."""
    begins, _, loads = code.partition("; ")
    names: dict[str, object] = {}
    exec(begins, names)  # noqa: S102  our own
    return eval(loads, names)  # noqa: S307  our own
