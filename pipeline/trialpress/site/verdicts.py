"""Verdicts and marks: each a shape and words, never a colour alone.

In:  ``relation``, ``top``, flags and statuses as results and measure decided them.
Out: a ``Verdict`` (the name of a shape, and words), or plain words. Words follow what was decided,
     never an estimated chance.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from trialpress.sentences.terms import term
from trialpress.words import figures, message, say, say_as


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
        Whether a told difference is too small to matter.
    """
    small = {
        "better": Verdict("better", say("better, by less than matters")),
        "worse": Verdict("worse", say("worse, by less than matters")),
    }
    if is_by_less_than_matters and kind in small:
        return small[kind]
    return {
        "first": Verdict("first", say("first by mean")),
        "better": Verdict("better", say_as("verdict", "better")),
        "level": Verdict("level", say_as("verdict", "level")),
        "cannot tell": Verdict("cannot-tell", say_as("verdict", "cannot tell")),
        "worse": Verdict("worse", say_as("verdict", "worse")),
    }[kind]


def top_cut(top: str) -> Verdict:
    """Whether a set-up is in the top cut, as far as the runs can say."""
    return {
        "certain": Verdict("in", say_as("top cut", "in")),
        "possible": Verdict("perhaps", say_as("top cut", "may be in")),
        "out": Verdict("out", say_as("top cut", "not in")),
    }[top]


def front(kind: str) -> Verdict:
    """Whether anybody is better at the same price or less."""
    return {
        "certain": Verdict("in", term("front", "certain")),
        "possible": Verdict("perhaps", term("front", "possible")),
        "beaten": Verdict("out", term("front", "beaten")),
    }[kind]


def claim(kind: str) -> Verdict:
    """Whether the specimen measured keeps a claim."""
    return {
        "kept": Verdict("in", term("verdict", "kept")),
        "not kept": Verdict("out", term("verdict", "not kept")),
        "cannot tell": Verdict("cannot-tell", term("verdict", "cannot tell")),
    }[kind]


def cut_words(top_n: int) -> str:
    """The top cut in a sentence."""
    if top_n == 1:
        # For translators: fills in {cut}, as in "Certain to be in first place".
        return say("first place")
    # For translators: fills in {cut}, as in "Certain to be in the top 3".
    return say("the top {n}", n=top_n)


def flag_words(flags: str | None) -> tuple[str, ...]:
    """The flags of one run in words, in the order they stand in."""
    return tuple(_words(flag) for flag in (flags or "").split())


def flag_counts(flags_of_runs: Sequence[str | None]) -> tuple[str, ...]:
    """The flags of a cell's runs, each with how many carry it: ``corrected: 1 of 3 runs``."""
    carriers = Counter(flag for flags in flags_of_runs for flag in (flags or "").split())
    return tuple(
        say(
            "{flag}: {carriers} of {runs}",
            flag=SHORT_FLAGS.get(flag) or _words(flag),
            carriers=carriers[flag],
            runs=figures.count(len(flags_of_runs), "run", "runs"),
        )
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
        (say("provisional"), is_provisional),
        (say("on one run"), is_on_one_run),
        (say("its runs scatter out of line"), is_unusually_spread),
    )
    return tuple(words for words, is_so in told if is_so)


def better_way(better: str) -> str:
    """Which way is good."""
    return {"higher": say("higher is better"), "lower": say("lower is better")}[better]
