"""The codes that the tables of the analyses hold in place of words.

In:  nothing.
Out: one enumeration a list of codes, and ``joined`` for a cell with several. What each code says is
     in ``trialpress.view.terms``.
"""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum


class Why(StrEnum):
    """Why a figure is blank; the words follow "as"."""

    UNIT_UNKNOWN = "unit-unknown"
    NOT_MEASURED_HERE = "not-measured-here"
    NOT_MEASURED_AS_UNBOXED = "not-measured-as-unboxed"
    SETUP_NOT_MEASURED = "set-up-not-measured"
    MEASURED_UNIT_UNKNOWN = "measured-unit-unknown"
    OTHER_DIMENSION = "other-dimension"
    TWO_MAXIMA = "two-maxima"
    NO_PRICE = "no-price"
    OTHER_CURRENCY = "other-currency"
    NO_CURRENCY = "no-currency"
    TOO_FEW_MACHINES = "too-few-machines"
    TOO_FEW_FOR_INTERVAL = "too-few-for-interval"
    ALL_ALIKE = "all-alike"
    ONE_GROUP = "one-group"
    SAME_WITHIN_KINDS = "same-within-kinds"
    ONE_MAKER_DECIDES = "one-maker-decides"
    IN_ONE_ORDER = "in-one-order"
    SHARE_WITHOUT_INTERVAL = "share-without-interval"
    NO_OTHER_OF_ITS_KINDS = "no-other-of-its-kinds"
    NONE_AS_UNBOXED = "none-as-unboxed"
    NO_RUN = "no-run"
    NO_RUN_OF_OTHER = "no-run-of-other"
    HAD_FAULTS = "had-faults"


class Beware(StrEnum):
    """What to beware of in a comparison of machines: the column ``warning``."""

    FEW_MACHINES = "few-machines"
    ONE_MAKER = "one-maker"
    ONE_KIND = "one-kind"
    FEW_MAKERS = "few-makers"
    SMALL_GROUPS = "small-groups"
    GROUPS_OF_ONE_MAKER = "groups-of-one-maker"


class Together(StrEnum):
    """Whether something goes with the results."""

    GOES_WITH = "goes with"
    CANNOT_TELL = "cannot tell"


class ClaimVerdict(StrEnum):
    """Whether the specimen measured keeps a claim."""

    KEPT = "kept"
    NOT_KEPT = "not kept"
    CANNOT_TELL = "cannot tell"


class HeldAgainst(StrEnum):
    """Which set-up a claim is held against."""

    STATED = "stated"
    AS_UNBOXED = "as-unboxed"
    MOST_FAVOURABLE = "most-favourable"


class Front(StrEnum):
    """Whether anybody is better at the same price or less."""

    CERTAIN = "certain"
    POSSIBLE = "possible"
    BEATEN = "beaten"


class Change(StrEnum):
    """What became of a place."""

    NEW = "new"
    UP = "up"
    DOWN = "down"
    STAYED = "stayed"
    GONE = "gone"


class Reason(StrEnum):
    """Why a place or a mean is another; in the order they are told."""

    NEW_SERIES = "new-series"
    PROTOCOL_CHANGE = "protocol-change"
    NEW_RUNS = "new-runs"
    CORRECTION = "correction"
    NEW_COMPETITOR = "new-competitor"
    OTHERS_MOVED = "others-moved"


SEPARATOR = "|"


def joined(codes: Iterable[str]) -> str | None:
    """Several codes for one cell, in the order given; None where there are none."""
    return SEPARATOR.join(codes) or None
