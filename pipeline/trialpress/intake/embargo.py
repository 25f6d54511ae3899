"""Which runs a comparison may not use, as they are under embargo on the date of a build.

In:  tables as typed and as corrected, and a date.
Out: names of runs. What is said of a visible run must be the same with and without hidden ones, so
     rules that hold runs against each other, and the numbering of replicates, leave these out. The
     store decides what is hidden in its pages; ``tests/desk/test_embargo_promise.py`` holds the two
     together, byte for byte.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from trialpress.bench import READING_TABLES
from trialpress.intake.screening import Tables


def hidden_runs(typed: Tables, corrected: Tables, as_of: date | None) -> frozenset[str]:
    """Runs that name a set-up under embargo, or ever did, whatever a correction made of it.

    Parameters
    ----------
    typed, corrected : mapping of table name to rows
        All tables.
    as_of : date or None
        The date of the build; ``None`` hides nothing.

    Returns
    -------
    frozenset of str
        Their names.
    """
    if as_of is None:
        return frozenset()
    today = as_of.isoformat()
    setups = {
        str(row.cells["setup"])
        for row in typed["setups"]
        if (row.cells["publish_on"] or "") > today
    }
    return frozenset(_naming(setups, typed, corrected)) if setups else frozenset()


def _naming(setups: set[str], typed: Tables, corrected: Tables) -> Iterator[str]:
    for table in READING_TABLES:
        for row in (*typed[table], *corrected[table]):
            if row.cells["setup"] in setups:
                yield str(row.cells["run"])
    for line in typed["corrections"]:
        is_of_setup = line.cells["table"] in READING_TABLES and line.cells["column"] == "setup"
        if is_of_setup and {line.cells["was"], line.cells["now"]} & setups:
            yield str(line.cells["row"]).partition("|")[0]
