"""How far the graders of a series agree, pair by pair.

In:  the grades of valid runs, as corrected, from the store.
Out: table ``agreements``; one who grades alone is in none of its rows.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

import numpy as np

from trialpress.measure.agreement import FEWEST_FOR_INTERVAL, weighted_kappa
from trialpress.results.records import AgreementRow
from trialpress.results.rounding import half_even
from trialpress.store import Store, read_sql

DECIMALS = 2


@dataclass(frozen=True)
class GradedTwice:
    """What two graders gave to one zone of one run."""

    protocol: str
    series_version: int
    grader: str
    other: str
    grade: int
    other_grade: int


def write_agreements(store: Store, protocol: str | None = None) -> None:
    """Work out every pair of graders of every series, or of one protocol, and write the table."""
    query = read_sql("trialpress.results", "queries/graded_twice.sql")
    rows = store.records(GradedTwice, query)
    asked = [row for row in rows if protocol in {None, row.protocol}]
    store.write_records("agreements", AgreementRow, list(_agreements(asked, store)))


def _agreements(rows: list[GradedTwice], store: Store) -> Iterator[AgreementRow]:
    """The query puts the zones of one pair next to each other."""
    by_pair = groupby(
        rows, key=lambda row: (row.protocol, row.series_version, row.grader, row.other)
    )
    for pair, group in by_pair:
        grades = np.array([(row.grade, row.other_grade) for row in group], dtype=np.int64)
        found = weighted_kappa(grades[:, 0], grades[:, 1], store.settings.confidence)
        has_interval = found.zones >= FEWEST_FOR_INTERVAL
        yield AgreementRow(
            *pair,
            found.zones,
            _rounded(found.kappa),
            _rounded(found.low) if has_interval else None,
            _rounded(found.high) if has_interval else None,
        )


def _rounded(figure: float) -> float | None:
    return half_even(figure, DECIMALS) if math.isfinite(figure) else None
