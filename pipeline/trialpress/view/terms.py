"""Every code with its word.

In:  codes as results and analyses wrote them; several in one cell are joined by ``|``.
Out: texts in the language spoken.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from trialpress.words import message, say


def codes(cell: str | None) -> tuple[str, ...]:
    """The codes of one cell, in the order they stand in."""
    return tuple(cell.split("|")) if cell else ()


class Words(Mapping[str, str]):
    """Texts by their codes, each in the language that is spoken when it is looked up."""

    def __init__(self, texts: Mapping[str, str]) -> None:
        """Keep texts that are marked as messages."""
        self._texts = texts

    def __getitem__(self, code: str) -> str:
        """The words for one code."""
        return say(self._texts[code])

    def __iter__(self) -> Iterator[str]:
        """The codes, in the order they were given in."""
        return iter(self._texts)

    def __len__(self) -> int:
        """How many codes have words."""
        return len(self._texts)


BENCH_DRIFT = "bench-drift"
FLAGS = Words(
    {
        "over-recovered": message("over-recovered: more came back than was spread"),
        "left-above-dose": message("more stayed behind than was spread"),
        "result-implausible": message("outside what the protocol holds possible, with a reason"),
        "run-far-off": message("far from the other runs of its set-up"),
        "readings-repeated": message("the same readings as another run"),
        "empty-mass-unusual": message("unusual empty mass of the container"),
        "corrected": message("corrected"),
        "uncertainty-unknown": message("uncertainty unknown"),
        BENCH_DRIFT: message("bench out of line: the reference machine read unusually on that day"),
    }
)
SHORT_FLAGS = Words(
    {
        "over-recovered": message("over-recovered"),
        "result-implausible": message("with a reason"),
        "run-far-off": message("far from its others"),
        "readings-repeated": message("readings as in another run"),
        "empty-mass-unusual": message("unusual container"),
        BENCH_DRIFT: message("bench out of line"),
    }
)
"""Flags whose words say more than there is room for beside a number."""
SIGNALS = Words(
    {
        "beyond-limits": message("beyond the limits"),
        "moving-average": message("moving average beyond its limits"),
        "two-of-three-beyond-2-sigma": message("two of three runs far to one side"),
        "four-of-five-beyond-1-sigma": message("four of five runs to one side"),
        "eight-on-one-side": message("eight runs in a row on one side"),
    }
)
ACQUIRED = Words(
    {
        # For translators: how a machine came to the bench.
        "bought": message("bought by the bench"),
        # For translators: how a machine came to the bench.
        "loaned": message("on loan"),
        # For translators: how a machine came to the bench.
        "gifted": message("a gift"),
        # For translators: how a machine came to the bench.
        "sponsored": message("sponsored"),
    }
)
READINGS = Words(
    {
        "collected": message("mass the machine collected, as a share of the mass spread"),
        "left": message("mass no longer on the floor, as a share of the mass spread"),
        "graded": message("share of zones graded clean"),
        "value": message("a value as read"),
        "count": message("hits as a share of tries"),
    }
)
WHY = Words(
    {
        "no-repeats": message("no set-up has two valid runs under this protocol"),
        "all-alike": message(
            "all runs of every set-up gave the same value, and the error of their readings "
            "is not known"
        ),
        "all-planned": message("its runs are planned, none has been made"),
        "all-void": message("all its runs are void"),
        "none-valid": message("its runs are void or still planned"),
    }
)
"""Why there is no figure."""
