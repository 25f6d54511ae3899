"""Which runs to make next, on the small bench."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from trialpress.bench import Bench
from trialpress.desk.advice import (
    NoSpreadError,
    NotComparedError,
    missing_runs,
    separate_advice,
    settle_advice,
)
from trialpress.flow import open_results
from trialpress.store import Store

SMALL = Bench(Path(__file__).parents[1] / "folders" / "base")
DEMO = Bench(Path(__file__).parents[2])


@pytest.fixture(scope="module")
def store() -> Iterator[Store]:
    with open_results(SMALL, date(2031, 6, 1)) as store:
        yield store


def test_runs_short_of_those_asked_for_are_listed(store: Store) -> None:
    lacking = {(one.protocol, one.setup): (one.made, one.missing) for one in missing_runs(store)}

    # The small bench asks for 3 runs of pickup: one-stock has 3, two-stock has 2 valid ones.
    assert ("pickup", "one-stock") not in lacking
    assert lacking["pickup", "two-stock"] == (2, 1)


def test_all_runs_that_are_given_out_go_to_set_ups_that_may_be_in_the_cut() -> None:
    with open_results(DEMO, date(2026, 11, 1)) as store:
        advice = settle_advice(store, "deep-rug", 5, 4)
        possible = store.frame(
            "select setup from standings where protocol = 'deep-rug' and version = 2 "
            "and place_best <= 5 and place_worst > 5"
        )

    assert advice.possible == len(possible) > 0
    assert sum(one.runs for one in advice.further) == 4
    assert {one.setup for one in advice.further} <= set(possible["setup"])
    assert advice.doubt > 0


def test_a_cut_that_takes_all_leaves_nothing_to_settle(store: Store) -> None:
    assert settle_advice(store, "pickup", 2, 4).further == ()


def test_a_difference_is_told_with_what_matters_and_the_runs_it_takes(store: Store) -> None:
    advice = separate_advice(store, "pickup", "one-stock", "two-stock", 0.8)

    assert advice.matters == 2
    assert advice.unit == "%"
    assert advice.further_each is None or advice.further_each > 0


def test_one_who_was_not_run_is_named(store: Store) -> None:
    with pytest.raises(NotComparedError, match="nobody under pickup has no valid run"):
        separate_advice(store, "pickup", "one-stock", "nobody", 0.8)


def test_without_a_spread_it_is_said_why_nothing_can_be_worked_out(store: Store) -> None:
    with pytest.raises(NoSpreadError, match="no set-up has two valid runs"):
        settle_advice(store, "noise", 1, 4)
