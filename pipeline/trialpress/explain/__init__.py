"""How a figure came about, down to the rows it was typed in.

In:  the store, the tables as typed, and what to explain.
Out: ``RunExplanation`` or ``CellExplanation``, to be printed or written as JSON.
"""

from trialpress.explain.bench import explain
from trialpress.explain.cell import CellExplanation, explain_cell, explain_machines
from trialpress.explain.run import NoSuchRunError, RunExplanation, explain_run

__all__ = [
    "CellExplanation",
    "NoSuchRunError",
    "RunExplanation",
    "explain",
    "explain_cell",
    "explain_machines",
    "explain_run",
]
