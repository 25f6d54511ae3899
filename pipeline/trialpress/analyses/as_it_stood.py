"""What movements are told from, as it stood on an earlier date: worked out once, and kept.

In:  the files of a bench as read, and the date.
Out: ``State``; the same one as long as nothing differs that was to be seen on that date.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import closing
from dataclasses import astuple
from datetime import date

from trialpress.analyses.movements import (
    SeriesRun,
    SeriesVersion,
    SetupPlace,
    State,
    Visible,
    read_state_rows,
    state_of,
)
from trialpress.cache import kept
from trialpress.intake import ReadFiles, check_as_it_stood
from trialpress.measure import measure_runs
from trialpress.results import work_out
from trialpress.store import build_store
from trialpress.store.models import CheckFailedError

HAD_FAULTS = b"null"


def state_as_it_stood(files: ReadFiles, as_of: date) -> State | None:
    """Places and runs on an earlier date; None where visible rows had errors then.

    Parameters
    ----------
    files : ReadFiles
        Of a bench that has no errors now.
    as_of : date
        The earlier date.
    """
    found = json.loads(kept("state", _content(files, as_of), lambda: _worked_out(files, as_of)))
    if found is None:
        return None
    places, values, versions, setups = found
    return state_of(
        (SetupPlace(*cells) for cells in places),
        (SeriesRun(*cells) for cells in values),
        (SeriesVersion(*cells) for cells in versions),
        (Visible(*cells) for cells in setups),
    )


def _content(files: ReadFiles, as_of: date) -> Iterator[bytes]:
    """Everything it can depend on: what bench days after that date hold is not seen on it."""
    yield repr((as_of, files.settings, sorted(files.methods.items()))).encode()
    for table, rows in sorted(files.typed.tables.items()):
        cells = [
            (row.file, row.number, *row.cells.values())
            for row in rows
            if row.day_date is None or row.day_date <= as_of
        ]
        yield repr((table, cells)).encode()


def _worked_out(files: ReadFiles, as_of: date) -> bytes:
    try:
        checked = check_as_it_stood(files, as_of)
        store = build_store(checked, as_of, for_results_only=True)
    except CheckFailedError:
        return HAD_FAULTS
    with closing(store.connection):
        if store.rows("select code from findings where severity = 'error'"):
            return HAD_FAULTS
        measure_runs(store)
        work_out(store, has_places_alone=True)
        return json.dumps([[astuple(row) for row in r] for r in read_state_rows(store)]).encode()
