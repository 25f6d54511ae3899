"""Rows of the catalogue, typed in a form or in a terminal, and no CSV.

In:  what a tester answers, column by column; the bench as it is.
Out: one row added, or one changed, and every other byte as it was; the last of them undone.

Where to look::

    tables      whose rows are typed so, and where they stand
    offering    what a column means, what it may say, and what is proposed for it
    starters    common kinds of trial, to copy and change
    entry       what was answered, and the files as they are with it
    keeping     the verdict of ``check`` before anything is written; keeping, and undoing the last
"""

from __future__ import annotations

from trialpress.desk.catalogue.entry import TypedEntry, read_entry
from trialpress.desk.catalogue.keeping import judge, keep, last_kept, undo
from trialpress.desk.catalogue.tables import ENTERED

__all__ = ["ENTERED", "TypedEntry", "judge", "keep", "last_kept", "read_entry", "undo"]
