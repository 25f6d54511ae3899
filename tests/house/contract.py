"""The order of the stages, as the import contract has it.

In:  the contract in ``pyproject.toml``.
Out: its layers, left to right, and which of them are packages.
"""

from __future__ import annotations

import re
import tomllib

from house.tracked import ROOT

PACKAGE = "pipeline/trialpress"
_PROJECT = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
_TOOLS = tomllib.loads(_PROJECT)["tool"]
CONTRACT = _PROJECT[_PROJECT.index("[tool.importlinter]") : _PROJECT.index("[tool.sqlfluff")]
"""The text of the contract, to be held by another package as well."""
ORDER: tuple[frozenset[str], ...] = tuple(
    frozenset(re.findall(r"\w+", layer))
    for layer in reversed(_TOOLS["importlinter"]["contracts"][0]["layers"])
)
"""What may be imported by all first, what imports all last; a layer may hold several."""
LAYERS = tuple(sorted(frozenset().union(*ORDER)))
STAGES = tuple(name for name in LAYERS if (ROOT / PACKAGE / name).is_dir())


def rank(name: str) -> int:
    """How far right a layer is."""
    return next(i for i, layer in enumerate(ORDER) if name in layer)
