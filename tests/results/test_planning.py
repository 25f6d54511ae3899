"""Which further runs are worth making."""

from __future__ import annotations

import numpy as np

from trialpress.results.planning import Cut, doubt, runs_to_settle, settle, settling_assurance


def test_runs_go_to_those_around_the_cut() -> None:
    cut = Cut(np.array([99.0, 80.2, 79.8, 60.0]), np.full(4, 3.0), np.full(4, 1.0), 8.0, 2)

    given = settle(cut, 6)

    assert sum(given) == 6
    assert given[0] == given[3] == 0
    assert given[1] > 0
    assert given[2] > 0


def test_no_run_is_given_out_where_a_cut_is_settled() -> None:
    cut = Cut(np.array([99.0, 80.0, 60.0]), np.full(3, 3.0), np.full(3, 1.0), 30.0, 1)

    assert settle(cut, 6) == [0, 0, 0]


def test_doubt_is_nothing_where_all_is_settled() -> None:
    assert doubt(np.array([0.0, 1.0, 1.0])) == 0
    assert doubt(np.array([0.5, 0.5])) == 0.5


def test_a_settled_cut_stays_settled_and_an_open_one_is_settled_by_many_runs() -> None:
    settled = Cut(np.array([99.0, 80.0, 60.0]), np.full(3, 3.0), np.full(3, 1.0), 30.0, 1)
    opened = Cut(np.array([82.0, 80.0, 60.0]), np.full(3, 3.0), np.full(3, 2.0), 30.0, 1)

    assert settling_assurance(settled, [0, 0, 0]) == 1
    told = [settling_assurance(opened, [runs, runs, 0]) for runs in (0, 3, 40)]
    assert told == sorted(told)
    assert told[0] == 0


def test_the_number_that_settles_a_cut_is_of_each_set_up_that_is_open() -> None:
    cut = Cut(np.array([82.5, 80.0, 60.0]), np.full(3, 3.0), np.full(3, 2.0), 30.0, 1)

    told = runs_to_settle(cut, 0.8)

    assert told is not None
    assert told > 1
    assert settling_assurance(cut, [told, told, 0]) >= 0.8
    assert settling_assurance(cut, [told // 2, told // 2, 0]) < 0.8
