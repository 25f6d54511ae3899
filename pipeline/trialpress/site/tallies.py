"""How many claims are kept, drawn: a block for each claim, as its verdict has it.

In:  the verdicts of claims; none of a claim that is not held against a measurement.
Out: ``DrawnTally``, paths in a box that a page draws. Solid is kept, crossed out is not kept,
     struck once is where the runs cannot tell, a dot is what this bench does not measure.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from trialpress.analyses.codes import ClaimVerdict
from trialpress.words import say

NOT_HELD = "not-held"
IN_A_ROW = 30
STEP, SIDE = 12, 9
_BLOCK = f"h{SIDE}v{SIDE}h-{SIDE}z"
_DRAWN = {
    ClaimVerdict.KEPT: _BLOCK,
    ClaimVerdict.NOT_KEPT: f"{_BLOCK}l{SIDE} {SIDE}m0 -{SIDE}l-{SIDE} {SIDE}",
    ClaimVerdict.CANNOT_TELL: f"{_BLOCK}m0 {SIDE}l{SIDE} -{SIDE}",
    None: f"m{SIDE // 2} {SIDE // 2}h.01",
}


@dataclass(frozen=True)
class DrawnPart:
    """The claims of one verdict: how they are drawn, one alone for the key, and words."""

    shape: str
    path: str
    key: str
    words: str


@dataclass(frozen=True)
class DrawnTally:
    """All claims of a picture in rows; ``of`` is how many there are."""

    width: int
    height: int
    of: int
    parts: tuple[DrawnPart, ...]

    @property
    def is_measured(self) -> bool:
        """Whether any of them is held against a measurement."""
        return any(part.shape != NOT_HELD for part in self.parts)


def tally_of(verdicts: Sequence[ClaimVerdict | str | None]) -> DrawnTally:
    """Draw claims, those that were decided first.

    Parameters
    ----------
    verdicts : sequence of str or None
        One a claim; None where it is not held against a measurement.
    """
    parts, drawn = [], 0
    for verdict, shape in _DRAWN.items():
        count = sum(one == verdict for one in verdicts)
        if count:
            places = (_corner(position) for position in range(drawn, drawn + count))
            parts.append(
                DrawnPart(
                    shape=(verdict or NOT_HELD).replace(" ", "-"),
                    path="".join(f"M{x} {y}{shape}" for x, y in places),
                    key=f"M1 1{shape}",
                    words=_words(verdict, count),
                )
            )
            drawn += count
    rows = -(-drawn // IN_A_ROW)
    return DrawnTally(STEP * min(drawn, IN_A_ROW), STEP * rows, drawn, tuple(parts))


def _corner(position: int) -> tuple[int, int]:
    row, column = divmod(position, IN_A_ROW)
    return STEP * column + 1, STEP * row + 1


def _words(verdict: ClaimVerdict | None, count: int) -> str:
    return {
        ClaimVerdict.KEPT: say("{count} kept", count=count),
        ClaimVerdict.NOT_KEPT: say("{count} not kept", count=count),
        ClaimVerdict.CANNOT_TELL: say("{count} where the runs cannot tell", count=count),
        None: say("{count} not measured here", count=count),
    }[verdict]
