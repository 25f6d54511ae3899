"""The words of every code that the tables of the analyses hold: one list a column.

In:  codes, and the columns of their row that their words mention.
Out: words in the language spoken; ``every_term`` lists them all, for a table of its own.

A text may have ``{columns}`` of its row in it; ``CONSTANTS`` fills in what is the same everywhere.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from string import Formatter

from trialpress.analyses.codes import SEPARATOR, Beware, Front, HeldAgainst, Reason, Verdict, Why
from trialpress.analyses.effects import FEWEST_PAIRS
from trialpress.analyses.machines import SMALL
from trialpress.analyses.sign_flips import FEWEST_MAKERS
from trialpress.words import figures, message, say

CONSTANTS: Mapping[str, object] = {
    "small": SMALL,
    "fewest_machines": FEWEST_PAIRS,
    "fewest_makers": FEWEST_MAKERS,
}

TERMS: Mapping[str, Mapping[str, str]] = {
    # For translators: all of the next texts follow "as", such as in "cannot be told, as".
    "why": {
        Why.UNIT_UNKNOWN: message("its unit is not known"),
        Why.NOT_MEASURED_HERE: message("this bench does not measure it"),
        Why.NOT_MEASURED_AS_UNBOXED: message("the machine was not measured as unboxed"),
        Why.SETUP_NOT_MEASURED: message("the set-up it is about was not measured"),
        Why.MEASURED_UNIT_UNKNOWN: message("the unit of the measurement is not known"),
        Why.OTHER_DIMENSION: message("it is measured in a unit of another kind"),
        Why.TWO_MAXIMA: message(
            "suction and airflow are separate greatest figures: suction is stated with the opening "
            "closed, airflow with it open, and no machine gives both at once"
        ),
        Why.NO_PRICE: message("no price is known"),
        Why.OTHER_CURRENCY: message("its price is in {currency}, and none is converted"),
        Why.NO_CURRENCY: message("its price is in no stated currency, and none is converted"),
        Why.TOO_FEW_MACHINES: message("fewer than {fewest_machines} machines can be compared"),
        Why.TOO_FEW_FOR_INTERVAL: message("there are too few machines for an interval"),
        Why.ALL_ALIKE: message("all machines are alike in it or in their results"),
        Why.ONE_GROUP: message("there are not two groups to compare"),
        Why.SAME_WITHIN_KINDS: message("machines of one kind do not differ in it"),
        Why.ONE_MAKER_DECIDES: message("without one of the makers there is nothing to compare"),
        Why.IN_ONE_ORDER: message("all are in one order, which has no interval"),
        Why.SHARE_WITHOUT_INTERVAL: message(
            "machines of one maker depend on each other, so that a share has no interval"
        ),
        Why.NO_OTHER_OF_ITS_KINDS: message("there is no other machine of its kind"),
        Why.NONE_AS_UNBOXED: message("none of its set-ups is as unboxed"),
        Why.NO_RUN: message("the set-up has no valid run in this series"),
        Why.NO_RUN_OF_OTHER: message("the other set-up has no valid run in this series"),
        Why.HAD_FAULTS: message(
            "the data as they stood then had faults, so that nothing could be published"
        ),
    },
    # For translators: all of the next texts follow "Beware".
    "warning": {
        Beware.FEW_MACHINES: message("fewer than {small} machines"),
        Beware.ONE_MAKER: message("all of one maker, {only_maker}"),
        Beware.ONE_KIND: message("all of one kind, {only_kind}"),
        Beware.FEW_MAKERS: message(
            "machines of fewer than {fewest_makers} makers, too few to tell anything"
        ),
        Beware.SMALL_GROUPS: message(
            "{groups_small} of {groups} groups with fewer than {small} machines"
        ),
        Beware.GROUPS_OF_ONE_MAKER: message(
            "{groups_of_one_maker} of {groups} groups with machines of one maker only"
        ),
    },
    "kind": {
        "robot": message("robot"),
        # For translators: a kind of machine: a slim one with a battery, held by its handle.
        "stick": message("stick"),
        "canister": message("canister"),
        # For translators: a kind of machine: one whose motor stands over its head.
        "upright": message("upright"),
        "handheld": message("handheld"),
        "wet-dry": message("wet-dry"),
    },
    "factor": {
        # For translators: the part of a machine that goes over the floor.
        "head": message("head"),
        # For translators: the part of a machine that wipes the floor.
        "mop": message("mop"),
        "kind": message("kind of machine"),
        "price-band": message("price band"),
        "price": message("price"),
        "released-year": message("year of release"),
    },
    "effect_name": {
        "eta squared": message("eta squared"),
        # For translators: the Greek letter, for Spearman's rank correlation.
        "rho": message("rho"),
    },
    "differs": {
        "brushes": message("brushes"),
        "mode": message("mode"),
        # For translators: how a machine was moved over the floor.
        "pattern": message("pattern"),
        # For translators: of the lanes in which a machine was moved over the floor.
        "overlap": message("overlap"),
        "water": message("water"),
        "firmware": message("firmware"),
        # For translators: which one of its kind a machine is.
        "specimen": message("specimen"),
    },
    "verdict": {
        # For translators: of a claim that a maker states.
        Verdict.KEPT: message("kept"),
        # For translators: of a claim that a maker states.
        Verdict.NOT_KEPT: message("not kept"),
        Verdict.CANNOT_TELL: message("cannot tell"),
    },
    "held_against": {
        HeldAgainst.STATED: message("the set-up it is about"),
        HeldAgainst.AS_UNBOXED: message("the one set-up as unboxed"),
        HeldAgainst.MOST_FAVOURABLE: message("the most favourable set-up as unboxed"),
    },
    "front": {
        # For translators: by a set-up at the same price or less.
        Front.CERTAIN: message("unbeaten"),
        Front.POSSIBLE: message("cannot tell"),
        # For translators: by a set-up at the same price or less.
        Front.BEATEN: message("beaten"),
    },
    # For translators: why a place is another.
    "moved": {
        Reason.NEW_SERIES: message("the series is new"),
        Reason.PROTOCOL_CHANGE: message("a new version of the protocol joined the series"),
        Reason.NEW_RUNS: message("new runs of its own"),
        Reason.CORRECTION: message("runs of its own corrected"),
        Reason.NEW_COMPETITOR: message("newcomers before it"),
        Reason.OTHERS_MOVED: message("others changed sides with it"),
    },
}


@dataclass(frozen=True)
class Term:
    """A code of one list, and its words."""

    list: str
    code: str
    words: str


def term(of: str, code: str, **columns: object) -> str:
    """The words of one code.

    Parameters
    ----------
    of : str
        The list, named after the column that holds the code.
    code : str
        One of the list.
    columns
        Columns of the row that the words mention, by name.

    Raises
    ------
    KeyError
        If the list has no such code, or its words mention another column.
    """
    return say(TERMS[of][code], **{**CONSTANTS, **columns})


def every_term() -> Iterator[Term]:
    """All lists with all codes; columns that words mention stay as ``{column}``."""
    for of, words in TERMS.items():
        for code, text in words.items():
            named = {name: f"{{{name}}}" for _, name, _, _ in Formatter().parse(text) if name}
            yield Term(of, str(code), term(of, code, **{**named, **CONSTANTS}))


def codes_in(cell: str | None) -> tuple[str, ...]:
    """The codes of a cell that may hold several."""
    return tuple(cell.split(SEPARATOR)) if cell else ()


def why_words(why: str | None, **columns: object) -> str:
    """Why there is no figure; what ``results`` give as a reason of their own is words already."""
    if why is None:
        return say("there is no such figure")
    return term("why", why, **columns) if why in TERMS["why"] else why


def warning_words(warning: str | None, **columns: object) -> str:
    """What to beware of; blank where there is nothing."""
    return "; ".join(term("warning", code, **columns) for code in codes_in(warning))


def kind_name(kind: str) -> str:
    """What a kind of machines is called: as the bench typed it where it is the bench's own."""
    return term("kind", kind) if kind in TERMS["kind"] else kind.replace("-", " ")


def group_name(factor: str, level: str) -> str:
    """What a group of machines is called: by its kind or prices, or as the bench has it."""
    if factor == "price-band":
        low, high = (figures.typed_number(float(end)) for end in re.split(r"(?<!e)-", level))
        return say("{low} to {high}", low=low, high=high)
    return kind_name(level) if factor == "kind" else level
