"""Why rows of a spreadsheet are not adopted, and which of them have the same reason.

In:  what stands in the way of each row.
Out: ``RefusedRow``; groups of them, so that what is wrong with sixteen rows is told once.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum


class Obstacle(StrEnum):
    """Kinds of what stands in the way; rows that share one and a word are told together."""

    NO_DATE = "no date"
    DATE_ORDER = "date order"
    BLANK_NAME = "blank name"
    UNKNOWN_NAME = "unknown name"
    NO_VERSION = "no version"
    SEVERAL_SETUPS = "several set-ups"
    NO_NUMBER = "no number"
    NUMBER_FORM = "number form"
    UNIT = "unit"
    NO_READINGS = "no readings"
    NO_DOSE = "no dose"
    TOTAL = "total"
    ADOPTED_OTHERWISE = "adopted otherwise"
    NAME_TAKEN = "name taken"
    FINDING = "finding"


_TOLD_ONCE = {Obstacle.DATE_ORDER, Obstacle.TOTAL, Obstacle.NUMBER_FORM}
"""Their sentences name a cell, and what is to do is the same for all of them."""


class CellError(ValueError):
    """A cell that cannot be understood; the message says why, in the tester's words."""

    def __init__(self, kind: Obstacle, sentence: str, *, column: str = "", word: str = "") -> None:
        self.reason = RefusalReason(kind, sentence, column, word)
        super().__init__(sentence)


@dataclass(frozen=True)
class RefusalReason:
    """What stands in the way of one row; ``word`` is what is not known, or a finding's code."""

    kind: Obstacle
    sentence: str
    column: str = ""
    word: str = ""

    @property
    def group(self) -> str:
        """What rows have in common that are told together."""
        if self.kind is Obstacle.FINDING:
            return f"{self.column} {self.word}"
        return self.kind.value if self.kind in _TOLD_ONCE else self.sentence


@dataclass(frozen=True)
class Origin:
    """Where a row came from; ``digest`` and ``count`` name it wherever it moves in the file.

    ``part`` is the column of a wide table that the row was made of.
    """

    sheet: str
    row: int
    digest: str
    count: int
    part: str = ""

    @property
    def source_row(self) -> str:
        """The row, and its part of a wide table."""
        return f"{self.row} {self.part}".rstrip()

    @property
    def text(self) -> str:
        """The place for people."""
        part = f", {self.part}" if self.part else ""
        return f"{f'sheet {self.sheet}, ' if self.sheet else ''}row {self.row}{part}"


@dataclass(frozen=True)
class RefusedRow:
    """A row that is not adopted, and everything that stands in its way."""

    origin: Origin
    reasons: tuple[RefusalReason, ...]

    @property
    def reason(self) -> str:
        """All of it in words."""
        return "; ".join(reason.sentence for reason in self.reasons)


@dataclass(frozen=True)
class RefusedGroup:
    """Rows that are refused for the same reason; ``reason`` is that of the first of them.

    ``is_alike`` says that the others have other figures in theirs.
    """

    reason: RefusalReason
    origins: tuple[Origin, ...]
    is_alike: bool

    @property
    def text(self) -> str:
        """How many rows, which, and why."""
        others = " (the first; the others alike)" if self.is_alike else ""
        return f"{counted_rows(self.origins)}: {self.reason.sentence}{others}"


def grouped(refused: Iterable[RefusedRow]) -> tuple[RefusedGroup, ...]:
    """Put rows with the same reason together, in the order of the first of each."""
    groups: dict[str, list[tuple[RefusalReason, Origin]]] = {}
    for row in refused:
        for reason in row.reasons:
            groups.setdefault(reason.group, []).append((reason, row.origin))
    return tuple(
        RefusedGroup(
            members[0][0],
            tuple(origin for _, origin in members),
            len({reason.sentence for reason, _ in members}) > 1,
        )
        for members in groups.values()
    )


def counted_rows(origins: Sequence[Origin]) -> str:
    """Rows for people: one by its place, many by their number and ranges."""
    if len(origins) == 1:
        return origins[0].text
    sheets = dict.fromkeys(origin.sheet for origin in origins)
    places = "; ".join(
        f"{f'sheet {sheet}, ' if sheet else ''}row "
        f"{ranges(sorted({origin.row for origin in origins if origin.sheet == sheet}))}"
        for sheet in sheets
    )
    return f"{len(origins)} rows ({places})"


def ranges(numbers: Sequence[int]) -> str:
    """3, 4, 5, 9 as 3-5, 9."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(str(run[0]) if len(run) == 1 else f"{run[0]}-{run[-1]}" for run in runs)
