"""Verdicts and marks: each a shape and words, never a colour alone.

In:  ``relation``, ``top``, flags and statuses as results and measure decided them.
Out: a ``Verdict`` (the name of a shape, and words), or plain words. Words follow what was decided,
     never an estimated chance.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from trialpress.view.results import Overall, Standing
from trialpress.view.terms import FLAGS, FRONTS, SHORT_FLAGS, SIGNALS, VERDICTS, codes
from trialpress.words import message, say, say_as, say_count


@dataclass(frozen=True)
class Verdict:
    """A shape (``shape`` names a symbol in the page's marks) and the words beside it."""

    shape: str
    words: str


def relation(
    kind: str, *, is_by_less_than_matters: bool = False, could_matter: str = ""
) -> Verdict:
    """How one set-up stands towards another; the place where it is said names the other.

    Parameters
    ----------
    kind : str
        ``first``, ``better``, ``level``, ``cannot tell`` or ``worse``.
    is_by_less_than_matters : bool
        Whether a told difference is too small to matter.
    could_matter : str
        Of two that cannot be told apart: on which side a difference that matters is left open,
        ``better``, ``worse`` or ``either``; empty where that is not known.
    """
    small = {
        "better": Verdict("better", say("better, by less than matters")),
        "worse": Verdict("worse", say("worse, by less than matters")),
    }
    if is_by_less_than_matters and kind in small:
        return small[kind]
    if kind == "cannot tell" and could_matter:
        return Verdict("cannot-tell", _open(could_matter))
    return {
        "first": Verdict("first", say("first by mean")),
        "better": Verdict("better", say_as("verdict", "better")),
        "level": Verdict("level", say_as("verdict", "level")),
        "cannot tell": Verdict("cannot-tell", say_as("verdict", "cannot tell")),
        "worse": Verdict("worse", say_as("verdict", "worse")),
    }[kind]


def _open(could_matter: str) -> str:
    """That two cannot be told apart, and what their difference may still be."""
    return {
        "either": say("cannot tell; could matter either way"),
        "better": say("cannot tell; could be better by what matters"),
        "worse": say("cannot tell; could be worse by what matters"),
    }[could_matter]


PAIRS = message("{better} better, {worse} worse, {level} level, {untold} not told apart")
"""Of the pairs of a set-up of one maker with one of another."""


def pairs_shape(better: int, worse: int, level: int, untold: int) -> str:
    """The shape of what most pairs of two makers say, where none says the opposite."""
    most = (better + worse + level + untold) / 2
    if better > most and not worse:
        return "better"
    if worse > most and not better:
        return "worse"
    return "level" if level > most and not (better or worse) else "cannot-tell"


def pairs(better: int, worse: int, level: int, untold: int) -> Verdict:
    """What the pairs of a set-up of one maker with one of another say."""
    words = say(PAIRS, better=better, worse=worse, level=level, untold=untold)
    return Verdict(pairs_shape(better, worse, level, untold), words)


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
        "certain": Verdict("in", FRONTS["certain"]),
        "possible": Verdict("perhaps", FRONTS["possible"]),
        "beaten": Verdict("out", FRONTS["beaten"]),
    }[kind]


def claim(kind: str) -> Verdict:
    """Whether the specimen measured keeps a claim."""
    return {
        "kept": Verdict("in", VERDICTS["kept"]),
        "not kept": Verdict("out", VERDICTS["not kept"]),
        "cannot tell": Verdict("cannot-tell", VERDICTS["cannot tell"]),
    }[kind]


def cut_words(top_n: int) -> str:
    """The top cut in a sentence."""
    if top_n == 1:
        # For translators: fills in {cut}, as in "No set-up is shown to be in first place".
        return say("first place")
    # For translators: fills in {cut}, as in "No set-up is shown to be in the top 3".
    return say("the top {n}", n=top_n)


def flag_words(flags: str) -> tuple[str, ...]:
    """The flags of one run in words, in the order they stand in."""
    return tuple(_words(flag) for flag in codes(flags))


def flag_counts(flags_of_runs: Sequence[str]) -> tuple[str, ...]:
    """The flags of a cell's runs, each with how many carry it: ``corrected: 1 of 3 runs``."""
    carriers = Counter(flag for flags in flags_of_runs for flag in codes(flags))
    return tuple(
        say_count(
            "{flag}: {carriers} of {count}\N{NO-BREAK SPACE}run",
            "{flag}: {carriers} of {count}\N{NO-BREAK SPACE}runs",
            len(flags_of_runs),
            flag=SHORT_FLAGS.get(flag) or _words(flag),
            carriers=carriers[flag],
        )
        for flag in sorted(carriers)
    )


def _words(flag: str) -> str:
    """A flag in words; one that is the code of a warning is told in full beside its run."""
    return FLAGS.get(flag, flag.replace("-", " "))


def signal_words(signals: str) -> tuple[str, ...]:
    """What a control chart says of one run, in words."""
    return tuple(SIGNALS[signal] for signal in codes(signals))


def marks_of(row: Standing | Overall) -> tuple[str, ...]:
    """What a reader must know before using a standing, or an overall, which rests on several."""
    return standing_marks(
        is_provisional=row.provisional,
        is_on_one_run=row.on_one_run,
        is_in_one_sitting=row.one_sitting,
        is_unusually_spread=isinstance(row, Standing) and row.unusual_spread,
    )


def with_marks(words: str, row: Standing | Overall) -> str:
    """A place or a figure, and in brackets what must be known before it is used."""
    marks = marks_of(row)
    # For translators: {marks} is such as "provisional; in one sitting".
    return say("{words} ({marks})", words=words, marks="; ".join(marks)) if marks else words


def standing_marks(
    *,
    is_provisional: bool,
    is_on_one_run: bool,
    is_in_one_sitting: bool,
    is_unusually_spread: bool,
) -> tuple[str, ...]:
    """What a reader must know before using a standing."""
    marks = (
        (say("provisional"), is_provisional),
        (say("on one run"), is_on_one_run),
        (say("in one sitting"), is_in_one_sitting and not is_on_one_run),
        (say("its runs scatter out of line"), is_unusually_spread),
    )
    return tuple(words for words, is_so in marks if is_so)


def better_way(better: str) -> str:
    """Which way is good."""
    return {"higher": say("higher is better"), "lower": say("lower is better")}[better]
