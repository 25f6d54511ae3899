"""A plan tells what is missing or worth running; a sheet records it before the first run."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest

from flow.benches import copy_of_small_bench
from trialpress.bench import Bench
from trialpress.desk.correct.effects import read_figures
from trialpress.desk.measured import measured_store
from trialpress.desk.plan.evening import duration_of, in_bench_order
from trialpress.desk.plan.fitting import Hours, due_before, fitted
from trialpress.desk.plan.missing import MissingReason, missing_runs
from trialpress.desk.plan.plan import Plan, PlanQuestion, make_plan, without_embargo
from trialpress.desk.plan.series import NoSuchSeriesError, OpenSeries, Suggestion, Wanted
from trialpress.desk.plan.spreading import evenings_for, over_evenings, what_evenings_buy
from trialpress.desk.sheet.paper import steps_and_cautions, write_sheet_page
from trialpress.desk.sheet.run_sheet import (
    DayNameError,
    DayTakenError,
    RunSheet,
    make_sheet,
    write_sheet,
)
from trialpress.intake import read_bench
from trialpress.results.cells import Cell
from trialpress.results.ranking import Rules, rank
from trialpress.view import View
from trialpress.view.plans import Pace, Tally
from trialpress.view.typed import Instrument

TODAY = date(2031, 4, 1)
NAME = "2031-04-02-hall"


def tally(setup: str, runs: int = 3, **others: object) -> Tally:
    given = {
        "protocol": "pickup",
        "version": 2,
        "title": "Dust",
        "reading": "collected",
        "floor": "rug",
        "unit": "%",
        "min_runs": 3,
        "matters": 2.0,
        "dose_g": 20.0,
        "dose_tolerance_g": 0.5,
        "zones": None,
        "setup": setup,
        "machine": setup,
        "name": setup,
        "is_reference": False,
        "runs": runs,
        "planned": 0,
        "last_day": date(2031, 3, 9) if runs else None,
        "kind": "stick",
        "kinds": None,
    }
    return Tally(**{**given, **others})  # type: ignore[arg-type]


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench(copy_of_small_bench(tmp_path / "bench"))


def sheet_of(plan: Plan, seed: int = 1) -> RunSheet:
    order = in_bench_order(plan.suggestion.wanted, plan.tallies, seed)
    return make_sheet(NAME, order, plan.suggestion.note)


def test_a_set_up_with_too_few_runs_wants_the_rest() -> None:
    (found,) = missing_runs([tally("a"), tally("b", runs=1)])

    assert (found.tally.setup, found.runs, found.reason) == ("b", 2, MissingReason.TOO_FEW)


def test_runs_that_are_planned_already_are_not_asked_for_again() -> None:
    assert missing_runs([tally("a"), tally("b", runs=1, planned=2)]) == ()


def test_other_brushes_of_a_machine_that_was_run_are_missing() -> None:
    series = [
        tally("a-roller", machine="a"),
        tally("a-brush", runs=0, machine="a"),
        tally("dry", runs=0, kind="robot", kinds="stick|upright"),
    ]

    (found,) = missing_runs(series)

    assert (found.tally.setup, found.runs, found.reason) == ("a-brush", 3, MissingReason.SIBLING)


def test_a_new_machine_is_missing_where_the_protocol_applies_to_its_kind() -> None:
    series = [tally("old"), tally("new", runs=0), tally("dry", runs=0, kind="robot", kinds="stick")]

    (found,) = missing_runs(series)

    assert (found.tally.setup, found.runs, found.reason) == ("new", 3, MissingReason.NOT_RUN)


def test_runs_take_as_long_as_those_of_their_protocol_did() -> None:
    wanted = [Wanted(tally("a"), 4), Wanted(tally("a", protocol="hair"), 2)]
    paces = {"pickup": Pace("pickup", 11.5, 9)}

    timed, both = duration_of(wanted[:1], paces), duration_of(wanted, paces)

    assert timed.text == "4\N{NO-BREAK SPACE}runs, about 45 min at the pace of past runs."
    assert (both.runs, both.timed, both.minutes) == (6, 4, 46.0)
    assert "the other 2 are under protocols whose runs were never timed" in both.text
    assert "not known" in duration_of(wanted[1:], paces).text


def test_as_many_runs_as_fit_are_given_out_the_reference_among_them() -> None:
    """An hour at ten minutes a run has six runs; two of them are the reference's."""
    tallies = [tally("a"), tally("b"), tally("ref", is_reference=True)]
    wanted = (Wanted(tallies[0], 3), Wanted(tally("c", protocol="hair"), 2), Wanted(tallies[1], 3))
    paces = {"pickup": Pace("pickup", 10.0, 9)}

    found = fitted(Suggestion(wanted, (), ""), tallies, paces, Hours(60.0, 1))
    shared = (Wanted(tallies[0], 2), Wanted(tallies[1], 3))
    over_two = fitted(Suggestion(shared, (), ""), tallies, paces, Hours(40.0, 2))

    assert [(want.tally.setup, want.runs) for want in found.wanted] == [("a", 3), ("b", 1)]
    assert "Of 8\N{NO-BREAK SPACE}runs, the first 4 fit into an evening of 1 h" in found.reasons[0]
    assert "2\N{NO-BREAK SPACE}runs are under protocols whose runs were never" in found.reasons[1]
    median = (
        "pickup: 10.0 min a run, the median of 9\N{NO-BREAK SPACE}gaps between past runs of a day."
    )
    assert found.reasons[2:] == (median,)
    assert sum(want.runs for want in over_two.wanted) == 4


def test_a_balance_is_due_a_year_after_its_calibration() -> None:
    """A year is common practice."""
    noted = date(2030, 4, 1)
    tools = [
        Instrument("new", "mass", "g", noted),
        Instrument("old", "mass", "g", noted - timedelta(1)),
        Instrument("unknown", "mass", "g", None),
    ]

    _, *told = due_before(tools, TODAY)

    assert told == [
        "old: calibrated on 2030-03-31, more than a year ago.",
        "unknown: when it was calibrated is not noted.",
    ]


def test_the_pace_is_the_median_time_from_run_to_run(bench: Bench) -> None:
    with measured_store(without_embargo(read_bench(bench, TODAY)), TODAY) as store:
        paces = View(store).paces

    # 19:05, 19:20, 19:40, 19:55 and 20:10 in the hall: 15, 20, 15 and 15 minutes apart
    assert paces["pickup"].minutes == 15.0


def test_the_reference_is_due_where_it_missed_the_last_day() -> None:
    series = [tally("a"), tally("ref", is_reference=True, last_day=date(2031, 3, 2))]

    (found,) = missing_runs(series)

    assert (found.tally.setup, found.runs, found.reason) == ("ref", 1, MissingReason.REFERENCE)


def test_a_protocol_that_was_never_run_is_missing_for_all() -> None:
    found = missing_runs([tally("a", runs=0), tally("b", runs=0)])

    assert [(one.runs, one.reason) for one in found] == [(3, MissingReason.NEVER)] * 2


def test_each_block_runs_between_two_runs_of_the_reference() -> None:
    tallies = [
        tally(setup, floor=floor, protocol=floor, is_reference=setup == "ref")
        for floor in ("boards", "rug")
        for setup in ("a", "b", "ref")
    ]
    wanted = [Wanted(one, 2) for one in tallies if not one.is_reference]

    order = in_bench_order(wanted, tallies, seed=4)

    assert [one.floor for one in order] == ["boards"] * 6 + ["rug"] * 6
    for block in (order[:6], order[6:]):
        assert (block[0].setup, block[-1].setup) == ("ref", "ref")
        assert Counter(one.setup for one in block[1:-1]) == {"a": 2, "b": 2}


def test_the_same_seed_gives_the_same_order_and_another_another() -> None:
    wanted = [Wanted(tally(f"s{i}"), 2) for i in range(6)]

    assert in_bench_order(wanted, (), 7) == in_bench_order(wanted[::-1], (), 7)
    assert in_bench_order(wanted, (), 7) != in_bench_order(wanted, (), 8)


def test_a_set_up_under_embargo_is_planned_for(bench: Bench) -> None:
    plan = make_plan(bench, TODAY, PlanQuestion("noise"))

    assert ("two-stock", MissingReason.TOO_FEW) in [
        (one.tally.setup, one.reason) for one in plan.missing
    ]


def test_a_sheet_is_no_fault_and_counts_nowhere(bench: Bench) -> None:
    before = read_figures(bench, date(2031, 7, 1))

    write_sheet(bench, sheet_of(make_plan(bench, TODAY, PlanQuestion())))

    assert read_bench(bench, None).findings == ()
    assert read_figures(bench, date(2031, 7, 1)) == before


def test_planned_rows_have_no_number_yet_and_say_what_they_are_for(bench: Bench) -> None:
    sheet = sheet_of(make_plan(bench, TODAY, PlanQuestion("hair")))
    write_sheet(bench, sheet)

    rows = (bench.days / NAME / "counts.csv").read_text(encoding="utf-8").splitlines()
    assert rows[1] == f"{NAME}-01,2031-04-02,one-stock,hair,1,,,,,planned,,plan: missing runs"


def test_a_graded_run_has_a_row_for_each_zone(bench: Bench) -> None:
    write_sheet(bench, sheet_of(make_plan(bench, TODAY, PlanQuestion("stains"))))

    rows = (bench.days / NAME / "gradings.csv").read_text(encoding="utf-8").splitlines()
    assert rows[1].startswith(f"{NAME}-01,zone-1,grader-1,")
    assert rows[2].startswith(f"{NAME}-01,zone-2,grader-1,")


def test_a_day_that_is_there_stays_as_it_is(bench: Bench) -> None:
    sheet = sheet_of(make_plan(bench, TODAY, PlanQuestion()))
    (bench.days / NAME).mkdir()

    with pytest.raises(DayTakenError, match=NAME):
        write_sheet(bench, sheet)

    assert list((bench.days / NAME).iterdir()) == []


def test_a_name_that_is_no_day_is_refused() -> None:
    with pytest.raises(DayNameError, match="such as"):
        make_sheet("tonight", [tally("a")], "")


def test_the_page_has_boxes_target_steps_and_cautions(bench: Bench) -> None:
    (bench.catalogue / "methods" / "pickup.md").write_text(
        "# Dust\n\n## Purpose\n\nWhy.\n\n## Steps\n\n1. Weigh.\n\n## Cautions\n\n- Dust & noise.\n",
        encoding="utf-8",
    )
    sheet = sheet_of(make_plan(bench, TODAY, PlanQuestion("pickup", settle=True, top_n=1)))

    page = write_sheet_page(bench, sheet, read_bench(bench, None).methods)

    html = page.read_text(encoding="utf-8")
    assert page == bench.root / "build" / "sheets" / f"{NAME}.html"
    assert "Target dose 20 g, within 0.4 g." in html
    assert '<th scope="col">before, g</th>' in html
    assert "Weigh." in html
    assert "Dust &amp; noise." in html
    assert "Why." not in html


def test_a_method_without_such_headings_is_given_whole() -> None:
    assert steps_and_cautions("# Title\n\nDo it.") == "# Title\n\nDo it."


def test_runs_to_settle_add_up_and_say_how_open_they_leave_it(bench: Bench) -> None:
    plan = make_plan(bench, TODAY, PlanQuestion("pickup", settle=True, top_n=1, runs=4))

    assert sum(one.runs for one in plan.suggestion.wanted) == 4
    assert "who is in the first place is" in plan.suggestion.reasons[0]
    assert plan.suggestion.note == "plan: settle top 1"


def test_a_difference_smaller_than_what_matters_is_said_to_be(bench: Bench) -> None:
    file = bench.catalogue / "protocols.csv"
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace(",higher,3,2,2031-03-06", ",higher,3,40,2031-03-06"), "utf-8")

    asked = PlanQuestion("pickup", separate=("one-stock", "two-stock"))

    assert "That is smaller than what matters (40 %)." in (
        make_plan(bench, TODAY, asked).suggestion.reasons
    )


def test_a_protocol_that_is_not_run_is_told_with_those_that_are(bench: Bench) -> None:
    with pytest.raises(NoSuchSeriesError, match="Is pickup meant"):
        make_plan(bench, TODAY, PlanQuestion("pickups", settle=True))


def test_a_plan_as_of_a_date_names_nothing_hidden_then(bench: Bench) -> None:
    of_others = make_plan(bench, TODAY, PlanQuestion(beyond_embargo=False))
    of_the_tester = make_plan(bench, TODAY, PlanQuestion())

    assert {tally.setup for tally in of_the_tester.tallies} - {
        tally.setup for tally in of_others.tallies
    } == {"two-stock"}


def test_runs_are_spread_over_evenings_that_set_ups_share() -> None:
    wanted = [Wanted(tally("a"), 3), Wanted(tally("b"), 3), Wanted(tally("c"), 1)]

    evenings = over_evenings(wanted, 3)

    told = [{want.tally.setup: want.runs for want in evening} for evening in evenings]
    assert told == [{"a": 1, "b": 1, "c": 1}, {"a": 1, "b": 1}, {"a": 1, "b": 1}]
    assert len(over_evenings([Wanted(tally("a"), 1)], 3)) == 1


def ranked(values: list[float], setups: list[int], days: list[int]) -> OpenSeries:
    """A series of three set-ups with these runs."""
    cells = [
        Cell(
            setup=f"{k}",
            values=np.array([v for v, s in zip(values, setups, strict=True) if s == k]),
            u_value=np.full(setups.count(k), np.nan),
            u_shared=np.full(setups.count(k), np.nan),
            days=np.array([d for d, s in zip(days, setups, strict=True) if s == k]),
            tries=np.full(setups.count(k), np.nan),
        )
        for k in range(3)
    ]
    ranking = rank(cells, Rules(higher_is_better=True, confidence=0.95, top_n=1))
    return OpenSeries(tuple(tally(cell.setup, cell.n) for cell in cells), ranking, 1.0)


THREE_DAYS = [0, 0, 1, 1, 2, 2] * 3
THREE_SETUPS = [k for k in range(3) for _ in range(6)]


def test_what_evenings_buy_is_worked_out_from_the_spreads_of_the_series() -> None:
    # Sittings move by -3, 0 and 3, otherwise each time, runs by 1 to either side of their sitting:
    # run variance 2; mean square of sittings 2 * 54 / 4 = 27, less 2, over 2 runs: 12.5, which is
    # more than (12.5 + 2) / 3, so that no number of runs in one evening is worth three evenings.
    moves = [-3, 0, 3, 3, -3, 0, 0, 3, -3]
    values = [80.0 + move + run for move in moves for run in (-1, 1)]

    series = ranked(values, THREE_SETUPS, THREE_DAYS)

    assert what_evenings_buy(series) == (
        "One run on each of 3 evenings tells more than any number of runs in one evening (runs of "
        "one evening scatter by 1.41 %, evenings of one set-up by 3.54 %)."
    )
    assert evenings_for(series) == 3


def test_evenings_that_add_nothing_are_said_to() -> None:
    values = [80.0 + run for _ in range(9) for run in (-1, 1)]

    series = ranked(values, THREE_SETUPS, THREE_DAYS)

    assert "does not stand out" in what_evenings_buy(series)
    assert evenings_for(series) == 1


def test_what_one_evening_cannot_tell_is_said_to_be_unknown() -> None:
    series = ranked([79.0, 81.0] * 9, THREE_SETUPS, [0] * 18)

    assert "cannot be estimated" in what_evenings_buy(series)
    assert evenings_for(series) == 3


def test_a_plan_says_which_set_ups_are_in_one_sitting_or_on_one_run() -> None:
    series = ranked([79.0, 81.0, 80.0, 82.0, 78.0], [0, 0, 1, 1, 2], [0] * 5)
    told = ranked([79.0, 81.0] * 9, THREE_SETUPS, THREE_DAYS)

    assert list(series.rests_on((0, 2))) == [
        "On one run so far: 2.",
        "In one sitting so far: 0. What that day did to all runs of a set-up is in no figure.",
    ]
    assert list(told.rests_on((0, 1, 2))) == []


def test_one_run_an_evening_leaves_its_share_in_the_runs() -> None:
    days = [0, 1, 2, 3, 4, 5] * 3
    values = [80.0, 82.0, 79.0, 81.0, 80.5, 79.5, 81.0, 80.0, 82.0, 79.0, 81.5, 80.5] * 2

    series = ranked(values[:18], THREE_SETUPS, days)

    assert "in the scatter of the runs" in what_evenings_buy(series)


def test_the_plan_of_a_pair_speaks_of_assurance_and_of_level(bench: Bench) -> None:
    asked = PlanQuestion("pickup", separate=("one-stock", "two-stock"), evenings=2)

    plan = make_plan(bench, TODAY, asked)

    told = " ".join(plan.suggestion.reasons)
    assert plan.evenings == 2
    assert "power" not in told
    assert "assurance" in told or "not worth it" in told or "tell them apart" in told
