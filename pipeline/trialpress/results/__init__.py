"""Values into cells, standings, cuts and overviews.

In:  the store with ``run_values``.
Out: the public result tables of the store; ``records`` and ``models/*.sql`` say what is in them.
"""

from __future__ import annotations

from trialpress.results.watching import read_out_of_line
from trialpress.results.working import PACKAGE, write_results
from trialpress.store import Store
from trialpress.store.models import run_checks, run_models

__all__ = ["read_out_of_line", "work_out"]


def work_out(store: Store, *, has_places_alone: bool = False, protocol: str | None = None) -> None:
    """Write every result table and check them; as ``write_results``.

    Tables of one protocol alone are not checked: the checks are about the whole.

    Raises
    ------
    CheckFailedError
        If a check query finds rows that must not exist.
    """
    write_results(store, has_places_alone=has_places_alone, protocol=protocol)
    run_models(store.connection, PACKAGE, "models")
    if protocol is None:
        run_checks(store.connection, PACKAGE, "checks")
