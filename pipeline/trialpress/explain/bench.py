"""One figure of a bench explained, and no more worked out for it than it needs.

In:  a bench folder, a date, the name of a run, or of a set-up and a protocol.
Out: the explanation.

Short: the explanations themselves are in ``run`` and ``cell``.
"""

from __future__ import annotations

from contextlib import closing
from datetime import date

from trialpress.bench import Bench
from trialpress.explain.cell import CellExplanation, explain_cell
from trialpress.explain.run import RunExplanation, explain_run
from trialpress.intake import read_bench
from trialpress.measure import measure_runs
from trialpress.results import work_out
from trialpress.store import build_store
from trialpress.view import View


def explain(
    bench: Bench, as_of: date, what: str, protocol: str | None, version: int | None
) -> RunExplanation | CellExplanation:
    """Explain a run, or with a protocol the standing of a set-up, as of one date.

    Raises
    ------
    FaultyBenchError
        If the data have faults.
    NoSuchRunError, NoSuchCellError
        If there is nothing of that name to be seen.
    """
    checked = read_bench(bench, as_of)
    store = build_store(checked, as_of)
    with closing(store.connection):
        view = View(store)
        if protocol is None:
            return explain_run(view, checked, what)
        measure_runs(store)
        work_out(store, protocol=protocol)
        return explain_cell(view, what, protocol, version)
