"""What moved between two dates, and why."""

from __future__ import annotations

from datetime import date

from trialpress.analyses.movements import SetupPlace, State, _between
from trialpress.analyses.records import MovementRow

SINCE, UNTIL = date(2031, 3, 1), date(2031, 4, 1)
KEY = ("pickup", 1)


def state(places: dict[str, int], runs: dict[str, dict[str, float]], *, version: int = 1) -> State:
    key = ("pickup", version)
    placed = {
        name: SetupPlace("pickup", version, name, place, 90.0 - place, 1, 3, 1)
        for name, place in places.items()
    }
    newest = {("pickup", number): version for number in range(1, version + 1)}
    return State(
        {key: placed}, {(key, name): told for name, told in runs.items()}, newest, frozenset("abcd")
    )


def moved(before: State, now: State) -> dict[str, MovementRow]:
    return {row.setup: row for row in _between(SINCE, UNTIL, before, now)}


def test_a_newcomer_moves_others_though_nothing_was_learnt_of_them() -> None:
    before = state({"a": 1, "b": 2}, {"a": {"r1": 5.0}, "b": {"r2": 4.0}})
    now = state({"c": 1, "a": 2, "b": 3}, {"a": {"r1": 5.0}, "b": {"r2": 4.0}, "c": {"r3": 6.0}})

    rows = moved(before, now)

    assert (rows["c"].change, rows["c"].why, rows["c"].new_runs) == ("new", "new-runs", 1)
    assert (rows["a"].change, rows["a"].why, rows["a"].new_above) == ("down", "new-competitor", 1)
    assert (rows["a"].place_before, rows["a"].place) == (1, 2)


def test_a_correction_is_told_of_the_one_it_concerns() -> None:
    before = state({"a": 1, "b": 2}, {"a": {"r1": 5.0}, "b": {"r2": 4.0}})
    now = state({"b": 1, "a": 2}, {"a": {"r1": 5.0}, "b": {"r2": 6.0}})

    rows = moved(before, now)

    assert (rows["b"].change, rows["b"].why) == ("up", "correction|others-moved")
    assert (rows["a"].change, rows["a"].why, rows["a"].others_passed) == ("down", "others-moved", 1)


def test_nothing_new_is_no_reason() -> None:
    same = state({"a": 1}, {"a": {"r1": 5.0}})

    assert (moved(same, same)["a"].change, moved(same, same)["a"].why) == ("stayed", None)


def test_a_new_version_that_continues_the_series_is_told() -> None:
    before = state({"a": 1}, {"a": {"r1": 5.0}})
    now = state({"a": 1}, {"a": {"r1": 5.0, "r2": 5.5}}, version=2)

    assert moved(before, now)["a"].why == "protocol-change|new-runs"


def test_a_first_series_is_new() -> None:
    before = State({}, {}, {}, frozenset("abcd"))

    row = moved(before, state({"a": 1}, {"a": {"r1": 5.0}}))["a"]

    assert (row.change, row.why) == ("new", "new-series|new-runs")


def test_a_set_up_whose_runs_are_gone_is_told_but_never_one_that_may_not_be_named() -> None:
    before = state({"a": 1, "hidden": 2}, {"a": {"r1": 5.0}, "hidden": {"r2": 4.0}})
    now = state({"b": 1}, {"b": {"r3": 5.0}})

    rows = moved(before, now)

    assert set(rows) == {"a", "b"}
    assert (rows["a"].change, rows["a"].corrected_runs) == ("gone", 1)
