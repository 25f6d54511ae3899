"""Verdicts and marks: each a shape and words, never a colour alone.

In:  ``relation``, ``top``, flags and statuses as results and measure decided them.
Out: a ``Verdict`` (the name of a shape, and words), or plain words. Words follow what was decided,
     never an estimated chance.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from trialpress.words import figures

BENCH_DRIFT = "bench-drift"
FLAGS = {
    "over-recovered": "over-recovered: more came back than was spread",
    "corrected": "corrected",
    "uncertainty-unknown": "uncertainty unknown",
    BENCH_DRIFT: "bench out of line: the reference machine read unusually on that day",
}
SIGNALS = {
    "beyond-limits": "beyond the limits",
    "moving-average": "moving average beyond its limits",
    "two-of-three-beyond-2-sigma": "two of three runs far to one side",
    "four-of-five-beyond-1-sigma": "four of five runs to one side",
    "eight-on-one-side": "eight runs in a row on one side",
}
ACQUIRED = {
    "bought": "bought by the bench",
    "loaned": "on loan",
    "gifted": "a gift",
    "sponsored": "sponsored",
}
KINDS = {
    "robot": "robot",
    "stick": "stick",
    "canister": "canister",
    "upright": "upright",
    "handheld": "handheld",
    "wet-dry": "wet and dry",
}
READINGS = {
    "collected": "mass the machine collected, as a share of the mass spread",
    "left": "mass no longer on the floor, as a share of the mass spread",
    "graded": "share of zones graded clean",
    "value": "a value as read",
    "count": "hits as a share of tries",
}


@dataclass(frozen=True)
class Verdict:
    """A shape (``shape`` names a symbol in the page's marks) and the words beside it."""

    shape: str
    words: str


def relation(kind: str, *, is_by_less_than_matters: bool = False) -> Verdict:
    """How one set-up stands towards another; the place where it is said names the other.

    Parameters
    ----------
    kind : str
        ``first``, ``better``, ``level``, ``cannot tell`` or ``worse``.
    is_by_less_than_matters : bool
        Whether a told difference is surely too small to matter.
    """
    small = ", by less than matters" if is_by_less_than_matters else ""
    return {
        "first": Verdict("first", "first by mean"),
        "better": Verdict("better", f"better{small}"),
        "level": Verdict("level", "level"),
        "cannot tell": Verdict("cannot-tell", "cannot tell"),
        "worse": Verdict("worse", f"worse{small}"),
    }[kind]


def top_cut(top: str) -> Verdict:
    """Whether a set-up is in the top cut, as far as the runs can say."""
    return {
        "certain": Verdict("in", "in"),
        "possible": Verdict("perhaps", "may be in"),
        "out": Verdict("out", "not in"),
    }[top]


def front(kind: str) -> Verdict:
    """Whether anybody is better at the same price or less."""
    return {
        "certain": Verdict("in", "unbeaten"),
        "possible": Verdict("perhaps", "cannot tell"),
        "beaten": Verdict("out", "beaten"),
    }[kind]


def claim(kind: str) -> Verdict:
    """Whether the specimen measured keeps a claim."""
    return {
        "kept": Verdict("in", "kept"),
        "not kept": Verdict("out", "not kept"),
        "cannot tell": Verdict("cannot-tell", "cannot tell"),
    }[kind]


def cut_words(top_n: int) -> str:
    """The top cut in a sentence."""
    return f"the top {top_n}" if top_n > 1 else "first place"


def flag_words(flags: str | None) -> tuple[str, ...]:
    """The flags of one run in words, in the order they stand in."""
    return tuple(_words(flag) for flag in (flags or "").split())


def flag_counts(flags_of_runs: Sequence[str | None]) -> tuple[str, ...]:
    """The flags of a cell's runs, each with how many carry it: ``corrected: 1 of 3 runs``."""
    carriers = Counter(flag for flags in flags_of_runs for flag in (flags or "").split())
    return tuple(
        f"{_words(flag).partition(':')[0]}: {carriers[flag]} of "
        f"{figures.count(len(flags_of_runs), 'run', 'runs')}"
        for flag in sorted(carriers)
    )


def _words(flag: str) -> str:
    """A flag in words; one that is the code of a warning is told in full beside its run."""
    return FLAGS.get(flag, flag.replace("-", " "))


def signal_words(signals: str) -> tuple[str, ...]:
    """What a control chart says of one run, in words."""
    return tuple(SIGNALS[signal] for signal in signals.split())


def standing_marks(
    *, is_provisional: bool, is_on_one_run: bool, is_unusually_spread: bool
) -> tuple[str, ...]:
    """What a reader must know before using a standing."""
    told = (
        ("provisional", is_provisional),
        ("on one run", is_on_one_run),
        ("its runs scatter out of line", is_unusually_spread),
    )
    return tuple(words for words, is_so in told if is_so)


def better_way(better: str) -> str:
    """Which way is good."""
    return {"higher": "higher is better", "lower": "lower is better"}[better]
