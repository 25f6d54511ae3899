"""Values into cells, standings, cuts and overviews.

In:  the store with ``run_values``.
Out: the public result tables of the store; ``records`` and ``models/*.sql`` say what is in them.
"""

from __future__ import annotations

from trialpress.results.watching import OutOfLine, read_out_of_line
from trialpress.results.working import PACKAGE, write_results
from trialpress.store import Store
from trialpress.store.models import run_checks, run_models
from trialpress.words import say

__all__ = ["OutOfLine", "read_out_of_line", "work_out"]


def work_out(store: Store) -> None:
    """Write every result table and check them.

    Raises
    ------
    CheckFailedError
        If a check query finds rows that must not exist.
    """
    write_results(store)
    run_models(store.connection, PACKAGE, "models")
    store.put_words("not_ranked", "why", _why_not_ranked())
    run_checks(store.connection, PACKAGE, "checks")


def _why_not_ranked() -> dict[str, str]:
    return {
        "planned": say("its runs are planned, none has been made"),
        "void": say("all its runs are void"),
        "void-or-planned": say("its runs are void or still planned"),
    }
