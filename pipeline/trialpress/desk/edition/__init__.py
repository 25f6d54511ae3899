"""Editions made: what changed since the last, the number that fits, the frozen zip.

In:  a bench and a date.
Out: ``data/editions/<version>.zip``, written once and never changed.
"""

from trialpress.desk.edition.changes import Changes, CorrectedValue, Move, RowCount
from trialpress.desk.edition.making import (
    MadeEdition,
    NothingNewError,
    ProposedEdition,
    TakenVersionError,
    TooSmallVersionError,
    make_edition,
)

__all__ = [
    "Changes",
    "CorrectedValue",
    "MadeEdition",
    "Move",
    "NothingNewError",
    "ProposedEdition",
    "RowCount",
    "TakenVersionError",
    "TooSmallVersionError",
    "make_edition",
]
