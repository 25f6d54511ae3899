"""The questions that come after the standings: makers, set-ups, kinds, claims, prices, changes.

In:  the store with its result tables, and the files of the bench for how it stood earlier.
Out: the tables of ``records`` and ``models/*.sql``; ``top_cut`` for any N and any subset.
"""

from __future__ import annotations

from collections.abc import Sequence

from trialpress.analyses.as_it_stood import state_as_it_stood
from trialpress.analyses.cuts import CutRow, top_cut
from trialpress.analyses.movements import Earlier
from trialpress.analyses.working import write_analyses
from trialpress.store import Store

__all__ = ["CutRow", "Earlier", "state_as_it_stood", "top_cut", "work_out_analyses"]


def work_out_analyses(store: Store, earlier: Sequence[Earlier] = ()) -> None:
    """Write every table of the analyses.

    Parameters
    ----------
    store : Store
        With the result tables.
    earlier : sequence of Earlier
        The dates that ``movements`` compares with; the table is empty without any.
    """
    write_analyses(store, earlier)
