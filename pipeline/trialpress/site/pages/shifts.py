"""How far one group of machines is from all others, in figures.

In:  a row with ``shift`` and its interval, or why there is none.
Out: words for a cell of a table.
"""

from __future__ import annotations

from trialpress.analyses.records import AssociationGroupRow, MakerFieldRow
from trialpress.view.terms import why_words
from trialpress.words import figures, say


def shift_words(row: AssociationGroupRow | MakerFieldRow) -> str:
    """``+2.7 (-2.0 to 7.4)`` with a true minus, or why nothing can be said."""
    if row.shift is None or row.shift_low is None or row.shift_high is None:
        return say("no shift: {why}", why=why_words(row.why))
    ends = figures.interval(row.shift_low, row.shift_high, row.decimals)
    return f"{figures.signed(row.shift, row.decimals)} ({ends})"
