"""Agreement of graders as it is published: pairs, zones, and when no interval is told.

Short: kappa itself is held against another library in ``tests/measure``.
"""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest
from statsmodels.stats.inter_rater import cohens_kappa


def test_the_published_agreement_is_that_of_an_independent_library_on_the_published_grades(
    built_demo: Path,
) -> None:
    dataset = built_demo / "dataset"
    typed = _rows(dataset / "as_typed" / "gradings.csv")
    valid = {row["run"] for row in _rows(dataset / "results" / "run_results.csv")}
    given = {
        (row["run"], row["zone"], row["grader"]): int(row["grade"])
        for row in typed
        if row["run"] in valid
    }
    for row in _rows(dataset / "as_typed" / "corrections.csv"):
        if row["table"] == "gradings" and row["column"] == "grade":
            run, zone, grader = row["row"].split("|")
            given[run, zone, grader] = int(row["now"])
    (published,) = _rows(dataset / "results" / "agreements.csv")
    one, other = published["grader"], published["other"]
    table = np.zeros((5, 5))
    for (run, zone, grader), grade in given.items():
        if grader == one and (run, zone, other) in given:
            table[grade, given[run, zone, other]] += 1

    known = cohens_kappa(table, wt="linear")

    assert int(published["zones"]) == table.sum() > 100
    assert float(published["kappa"]) == pytest.approx(known.kappa, abs=0.005)
    assert float(published["low"]) == pytest.approx(known.kappa_low, abs=0.005)
    assert float(published["high"]) == pytest.approx(known.kappa_upp, abs=0.005)


def _rows(file: Path) -> list[dict[str, str]]:
    with file.open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))
