"""Explanations that can be followed with a pocket calculator."""

from __future__ import annotations

import math
import shutil
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from trialpress.bench import Bench
from trialpress.explain import NoSuchRunError, explain_cell, explain_run
from trialpress.intake import CheckedBench, read_bench
from trialpress.measure import measure_runs
from trialpress.results import work_out
from trialpress.store import Store, build_store
from trialpress.view import View
from trialpress.words import speaking
from trialpress.words.catalogue import read_language

SMALL = Bench(Path(__file__).parents[1] / "folders" / "base")
AS_OF = date(2031, 6, 1)


@pytest.fixture(scope="module")
def checked() -> CheckedBench:
    return read_bench(SMALL, AS_OF)


@pytest.fixture(scope="module")
def store(checked: CheckedBench) -> Iterator[Store]:
    store = worked_out(checked, AS_OF)
    yield store
    store.connection.close()


def worked_out(checked: CheckedBench, as_of: date) -> Store:
    store = build_store(checked, as_of)
    measure_runs(store)
    work_out(store)
    return store


def test_a_run_shows_its_cells_as_typed_with_file_row_and_correction(
    store: Store, checked: CheckedBench
) -> None:
    inputs = {cell.column: cell for cell in explain_run(View(store), checked, "hall-02").inputs}

    before = inputs["before_g"]
    assert (before.typed, before.corrected) == ("260.0", "260.3")
    assert before.why == "2031-03-20: the film again"
    assert (before.file, before.row) == ("data/days/2031-03-02-hall/weighings.csv", 3)
    assert inputs["dose_g"].corrected is None


def test_the_value_can_be_worked_out_again_from_what_is_shown(
    store: Store, checked: CheckedBench
) -> None:
    told = explain_run(View(store), checked, "hall-02")
    cells = {cell.column: float(cell.corrected or cell.typed or 0) for cell in told.inputs
             if cell.column.endswith("_g")}  # fmt: skip

    by_hand = 100 * (cells["after_g"] - cells["before_g"]) / cells["dose_g"]

    assert told.value == pytest.approx(by_hand)


def test_the_uncertainty_is_the_root_sum_of_squares_of_the_shown_budget(
    store: Store, checked: CheckedBench
) -> None:
    told = explain_run(View(store), checked, "hall-02")

    shares = [(part.standard_uncertainty or 0) * part.sensitivity for part in told.budget]
    by_hand = math.sqrt(sum(share**2 for share in shares))

    assert told.standard_uncertainty == pytest.approx(by_hand)
    # By hand: one balance of 0.1 g, dose 19.9 g read directly: 0.1 / sqrt(6) = 0.0408248 for the
    # gain, 0.1 / sqrt(12) = 0.0288675 for the dose, ratio 17.8 / 19.9 = 0.894472.
    expected = 100 / 19.9 * math.hypot(0.0408248, 0.0288675 * 0.894472)
    assert by_hand == pytest.approx(expected, rel=1e-5)
    assert told.expanded_uncertainty == pytest.approx(1.959964 * expected, rel=1e-5)


def test_an_unknown_balance_is_said_and_not_assumed(store: Store, checked: CheckedBench) -> None:
    told = explain_run(View(store), checked, "hall-03")

    assert told.value is not None
    assert told.standard_uncertainty is None
    assert any(part.standard_uncertainty is None for part in told.budget)


def test_a_void_run_is_told_with_its_reason_and_without_a_value(
    store: Store, checked: CheckedBench
) -> None:
    told = explain_run(View(store), checked, "hall-04")

    assert (told.status, told.reason, told.value) == ("void", "hose came off", None)


def test_a_graded_run_shows_every_zone_of_every_grader(store: Store, checked: CheckedBench) -> None:
    told = explain_run(View(store), checked, "hall-11")

    assert [cell.column for cell in told.inputs] == [
        "grade (left ann)",
        "grade (right ann)",
        "grade (left ben)",
        "grade (right ben)",
    ]
    # By hand: grades 0, 2, 1 and 2, the last corrected to 1; three of four at or below 1.
    assert told.value == pytest.approx(75)


def test_a_run_that_is_not_there_is_named(store: Store, checked: CheckedBench) -> None:
    with pytest.raises(NoSuchRunError, match="There is no run hall-99 to be seen as of 2031-06-01"):
        explain_run(View(store), checked, "hall-99")


def test_a_standing_shows_its_runs_and_the_steps_to_its_interval(store: Store) -> None:
    told = explain_cell(View(store), "one-stock", "pickup")

    assert [line.run for line in told.runs] == ["hall-01", "hall-02", "porch-01"]
    assert [step.what for step in told.steps] == [
        "mean",
        "spread",
        "its own spread",
        "standard error",
        "interval",
        "standard error in comparisons",
        "told apart",
    ]
    assert told.set_ups == 2


def test_steps_are_told_with_the_signs_of_another_language(store: Store) -> None:
    german, _ = read_language("de", b"")
    assert german is not None

    english = explain_cell(View(store), "one-stock", "pickup").steps
    with speaking(german):
        told = explain_cell(View(store), "one-stock", "pickup").steps

    swapped = str.maketrans({".": ",", ",": "."})
    assert [step.outcome for step in told] == [step.outcome.translate(swapped) for step in english]
    assert told[0].formula == english[0].formula.translate(swapped)


def test_the_interval_of_a_difference_follows_from_the_steps_of_both_set_ups(
    tmp_path: Path,
) -> None:
    # On one day only, so that no part of the days comes in.
    shutil.copytree(SMALL.root, tmp_path / "bench")
    shutil.rmtree(tmp_path / "bench/data/days/2031-03-09-porch")
    (tmp_path / "bench/data/corrections.csv").unlink()
    store = worked_out(read_bench(Bench(tmp_path / "bench"), AS_OF), AS_OF)
    steps = [
        {step.what: float(step.outcome.split()[0]) for step in cell.steps}
        for cell in (
            explain_cell(View(store), name, "pickup") for name in ("one-stock", "two-stock")
        )
    ]
    errors = [of_one["standard error in comparisons"] for of_one in steps]
    half = steps[0]["told apart"] * math.hypot(*errors)
    difference = steps[0]["mean"] - steps[1]["mean"]

    published = store.connection.execute(
        "select low, high from comparisons where setup = 'one-stock' and protocol = 'pickup'"
    ).fetchone()
    store.connection.close()

    assert published == pytest.approx(
        (difference - half, difference + half), abs=0.5
    )  # whole percent


def test_an_earlier_version_leads_to_the_series_it_belongs_to(store: Store) -> None:
    assert explain_cell(View(store), "one-stock", "pickup", 1) == explain_cell(
        View(store), "one-stock", "pickup"
    )
