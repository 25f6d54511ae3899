"""A correction is checked, shown with what it changes, and written beside the raw row."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from flow.benches import SMALL, copy_of_small_bench, files_below
from trialpress.bench import Bench
from trialpress.desk.correct.correction import (
    ClockBehindError,
    CorrectionRequest,
    NothingToCorrectError,
    ProposedCorrection,
    RefusedCorrectionError,
    propose,
    write_correction,
)
from trialpress.intake import read_bench

TODAY = date(2031, 8, 8)
DAY = "2031-03-09-porch"


def request(column: str = "after_g", now: str | None = "279.8", **others: str) -> CorrectionRequest:
    table, row = others.get("table", "weighings"), others.get("row", "porch-01")
    return CorrectionRequest(table, row, ((column, now),), "read from the film", TODAY)


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench(copy_of_small_bench(tmp_path / "bench"))


def test_the_row_as_typed_stays_and_the_line_says_before_and_after(bench: Bench) -> None:
    raw = (bench.days / DAY / "weighings.csv").read_bytes()

    write_correction(bench, propose(bench, request(now=" 279,8")))  # as a spreadsheet has it

    assert (bench.days / DAY / "weighings.csv").read_bytes() == raw
    line = bench.corrections_file.read_text(encoding="utf-8").splitlines()[-1]
    assert line == (
        "2031-08-08-01,weighings,porch-01,after_g,2031-08-08,278.8,279.8,read from the film"
    )
    corrected = read_bench(bench, None).tables["weighings"].corrected
    assert [row.cells["after_g"] for row in corrected if row.key == ("porch-01",)] == ["279.8"]


Proposed = tuple[Bench, ProposedCorrection]


@pytest.fixture(scope="module")
def proposed(tmp_path_factory: pytest.TempPathFactory) -> Proposed:
    """A bench, and a correction of a run that was proposed there; only to be read."""
    bench = Bench(copy_of_small_bench(tmp_path_factory.mktemp("proposed") / "bench"))
    return bench, propose(bench, request())


def test_a_proposal_writes_nothing(proposed: Proposed) -> None:
    bench, _ = proposed

    assert files_below(bench.data) == files_below(SMALL / "data")
    assert [path.name for path in (bench.root / "build").iterdir()] == [".scratch.lock"]


def test_every_figure_that_changes_is_told(proposed: Proposed) -> None:
    effects = proposed[1].effects

    text = {(one.table, one.row, one.column): (one.before, one.after) for one in effects or ()}
    # before: 18.6 g of 20 g; after: 19.6 g of 20 g
    assert text["run_results", "porch-01", "value"] == ("93", "98")
    assert ("standings", "pickup 2 one-stock", "mean") in text
    assert ("cells", "noise 1 one-stock", "mean") not in text


def test_what_matters_of_it_is_said_in_a_sentence(
    proposed: Proposed,
) -> None:
    # three runs, one of them 5 points higher then: the mean by 5 / 3
    assert proposed[1].summary == (
        "one-stock, pickup version 2: 91 → 93 %, place 1 stays.",
        "1\N{NO-BREAK SPACE}other interval is a little wider.",
    )


def test_a_run_can_move_to_another_set_up_whatever_number_was_typed(bench: Bench) -> None:
    # hall-02 has the number 2 typed, and so has a run of two-stock
    proposal = propose(bench, request("setup", "two-stock", row="hall-02"))

    assert [(change.column, change.now) for change in proposal.changes] == [
        ("setup", "two-stock"),
        ("replicate", None),
    ]
    write_correction(bench, proposal)
    corrected = read_bench(bench, None).tables["weighings"].corrected
    (moved,) = [row for row in corrected if row.key == ("hall-02",)]
    assert moved.texts(("setup", "replicate")) == ("two-stock", "3")


def test_corrections_of_one_day_get_names_of_their_own(bench: Bench) -> None:
    write_correction(bench, propose(bench, request()))

    assert propose(bench, request(now="279.9")).correction == "2031-08-08-02"


def test_two_cells_that_were_swapped_are_corrected_together(bench: Bench) -> None:
    file = bench.days / DAY / "weighings.csv"
    swapped = file.read_text(encoding="utf-8").replace("260.2,278.8", "278.8,260.2")
    file.write_text(swapped, encoding="utf-8")
    both = (("before_g", "260.2"), ("after_g", "278.8"))

    proposal = propose(bench, CorrectionRequest("weighings", "porch-01", both, "swapped", TODAY))
    write_correction(bench, proposal)

    assert proposal.effects is None  # the bench was at fault before: there is nothing to compare
    assert {line["correction"] for line in proposal.lines} == {"2031-08-08-01"}
    assert read_bench(bench, None).findings == ()


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        (request(table="weighing"), "There is no table weighing. Is weighings meant?"),
        (request(row="porch-1"), "There is no row in weighings named porch-1. Is porch-01 meant?"),
        (request(column="after"), "There is no column in weighings named after. Is after_g meant?"),
    ],
)
def test_what_is_not_there_is_told_with_what_may_be_meant(
    wrong: CorrectionRequest, words: str, bench: Bench
) -> None:
    with pytest.raises(NothingToCorrectError) as caught:
        propose(bench, wrong)

    assert str(caught.value).startswith(words)
    assert caught.value.exit_status == 2


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        (request(now="heavy"), "heavy is not a number"),
        (request(column="at", now="2031-03-10"), "at cannot be corrected"),
        (request(column="setup", now="nobody"), "nobody"),
        (request(now="278.8"), "278.8"),
        (request(now="200.0"), "after_g: 200.0 is less than before_g"),
    ],
)
def test_a_correction_that_would_be_a_fault_is_refused(
    wrong: CorrectionRequest, words: str, bench: Bench
) -> None:
    before = bench.corrections_file.read_bytes()

    with pytest.raises(RefusedCorrectionError, match=words):
        propose(bench, wrong)

    assert bench.corrections_file.read_bytes() == before


@pytest.mark.parametrize("today", ["2031-03-08", "2031-03-11"])
def test_a_clock_that_was_set_back_is_named_and_nothing_is_written(
    today: str, bench: Bench
) -> None:
    """Behind the day of the run, and behind the last correction."""
    before = bench.corrections_file.read_bytes()
    asked = replace(request(), corrected_on=date.fromisoformat(today))

    with pytest.raises(ClockBehindError, match=f"it is {today}, but .* Set the clock"):
        propose(bench, asked)

    assert bench.corrections_file.read_bytes() == before
