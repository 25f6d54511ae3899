"""What a spreadsheet says beside its figures, and an adoption must not pass over.

In:  the cells of a row, those of columns that are not mapped among them.
Out: words that say a run does not count; what tells the set-ups of one machine apart.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence

STATUSES = frozenset({"planned", "valid", "void"})
_NOT_COUNTED = re.compile(
    r"\b(abort\w*|abandon\w*|cancel\w*|discard\w*|invalid|void|interrupted|incomplete|failed|"
    r"stopped (early|half ?way)|battery (died|dead|empty)|(bin|filter) (full|blocked)|got stuck|"
    r"do not (use|count)|don'?t (use|count)|not valid|spill(ed|t)|wrong (dose|floor|mode|brush)|"
    r"abgebrochen|abbruch|ung[uü]ltig|verworfen|annul[eé]\w*|interrompu\w*)\b",
    re.IGNORECASE,
)
_OF_A_SETUP = re.compile(
    r"\b(brush(es)?|roller|head|nozzle|mode|pattern|overlap|water|firmware|specimen|power|setting|"
    r"b[uü]rste|d[uü]se|modus)\b",
    re.IGNORECASE,
)


def words_against(texts: Iterable[str]) -> str | None:
    """The first text that says in words that its run does not count."""
    return next((text for text in texts if _NOT_COUNTED.search(text)), None)


def tells_setups_apart(header: str) -> bool:
    """Whether a column is about how a machine was set up."""
    return _OF_A_SETUP.search(header) is not None


def mixed_setups(
    machines: Sequence[str], columns: Mapping[str, Sequence[str]]
) -> dict[str, tuple[str, tuple[str, ...]]]:
    """Names of machines that a column gives several set-ups: the column's header and its words.

    Parameters
    ----------
    machines : sequence of str
        What each row calls its machine, in lower case.
    columns : mapping
        The cells of each column about set-ups, row by row, by its header.
    """
    mixed: dict[str, tuple[str, tuple[str, ...]]] = {}
    for header, cells in columns.items():
        found: dict[str, dict[str, None]] = defaultdict(dict)
        for machine, cell in zip(machines, cells, strict=True):
            found[machine][cell.casefold()] = None
        for machine, words in found.items():
            if machine and len(words) > 1:
                mixed.setdefault(machine, (header, tuple(words)))
    return mixed
