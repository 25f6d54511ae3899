"""The run sheet, the bench sheet and intake number a set-up's runs by one rule: intake's."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from flow.benches import copy_of_small_bench
from trialpress.bench import Bench
from trialpress.desk.measured import read_state
from trialpress.desk.plan import PlanQuestion, make_plan
from trialpress.desk.replacing import replace_durably
from trialpress.desk.sheet import make_sheet, write_sheet
from trialpress.desk.sheet.choices import RunRequest, RunRows, begin, read_choices
from trialpress.desk.sheet.draft import fill, read_draft
from trialpress.intake import read_bench

DAY = "2031-04-02-hall"
UNPLANNED = RunRequest(DAY, "one-stock", "pickup", 2)
READINGS = {"dose_g": "20.0", "before_g": "260.0", "after_g": "278.0"}


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    """A bench with three planned runs of a set-up that has one run under that version."""
    bench = Bench(copy_of_small_bench(tmp_path / "bench"))
    plan = make_plan(bench, date(2031, 4, 2), PlanQuestion("pickup"))
    wanted = (UNPLANNED.setup, UNPLANNED.protocol)
    tally = next(tally for tally in plan.tallies if (tally.setup, tally.protocol) == wanted)
    write_sheet(bench, make_sheet(DAY, [tally] * 3, "plan"))
    return bench


def runs_to_make(bench: Bench) -> tuple[RunRows, ...]:
    """What the bench sheet offers: the planned runs, and one that was not planned."""
    state = read_state(bench)
    choices = read_choices(state)
    planned = [run for run in choices.planned if run.day == DAY]
    return (*planned, begin(state, choices, UNPLANNED))


def keep(bench: Bench, run: RunRows, **cells: str) -> None:
    """Write a run as the bench sheet does."""
    rows = [{**row, **cells} for row in run.rows]
    draft = read_draft({"day": run.day, "table": run.table, "rows": rows})
    filled = fill(draft.file(bench), draft)
    replace_durably(filled.file, filled.data)


def test_a_void_run_keeps_its_number_whichever_sheet_wrote_it(bench: Bench) -> None:
    first, second, third, unplanned = runs_to_make(bench)

    keep(bench, first, status="void", reason="The hose came off.")
    keep(bench, second, status="valid", **READINGS)
    keep(bench, unplanned, status="valid", **READINGS)

    rows = read_bench(bench, None).tables["weighings"].corrected
    numbers = {row.cells["run"]: row.cells["replicate"] for row in rows}
    assert numbers["porch-01"] == "1"
    assert numbers[first.run] == "2"
    assert numbers[second.run] == "3"
    assert numbers[unplanned.run] == "4"
    assert numbers[third.run] is None  # nobody knows yet when it will be made


def test_no_sheet_types_a_number_of_its_own(bench: Bench) -> None:
    rows = [row for run in runs_to_make(bench) for row in run.rows]

    assert len(rows) == 4
    assert not [row["run"] for row in rows if "replicate" in row]
    header = (bench.days / DAY / "weighings.csv").read_text("utf-8").splitlines()[0]
    assert "replicate" not in header.split(",")
