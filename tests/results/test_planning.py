"""Which further runs are worth making."""

from __future__ import annotations

import numpy as np
import pytest

from trialpress.results.planning import Bout, Cut, doubt, runs_to_separate, separation_power, settle


def bout(difference: float, runs: int, *, other_df: float = 0.0, count: int = 2) -> Bout:
    return Bout(difference, 1.0, (runs, runs), other_df, count, 0.95)


def test_two_set_ups_by_themselves_have_the_power_of_the_t_test() -> None:
    # R power.t.test, statsmodels agrees (methods.md): n 20, shift 1 sigma: .8689528.
    assert separation_power(bout(1.0, 20), is_guarded=False) == pytest.approx(0.8689528, abs=0.012)


@pytest.mark.parametrize(
    ("shift", "runs", "power"),
    [
        # methods.md, computed: runs for .80 / .90 at shifts of 1.5, 2 and 3 sigma. These are not
        # whole numbers, so the power of the next whole number must pass, of the one before fail.
        (1.5, 8.06, 0.80),
        (1.5, 10.40, 0.90),
        (2.0, 5.09, 0.80),
        (2.0, 6.39, 0.90),
        (3.0, 3.07, 0.80),
        (3.0, 3.62, 0.90),
    ],
)
def test_runs_for_a_power_are_those_of_the_t_test(shift: float, runs: float, power: float) -> None:
    enough, short = int(np.ceil(runs)), int(np.floor(runs))

    assert separation_power(bout(shift, enough), is_guarded=False) > power
    assert separation_power(bout(shift, short), is_guarded=False) < power


def test_power_grows_with_runs_and_shrinks_with_the_number_compared() -> None:
    powers = [separation_power(bout(2.0, runs, other_df=12, count=8)) for runs in (3, 5, 8, 12)]

    assert powers == sorted(powers)
    assert separation_power(bout(2.0, 5, other_df=12, count=45)) < powers[1]


def test_eight_set_ups_of_three_runs_have_the_power_of_the_study() -> None:
    # By the study when its power was read at 3.5 spreads: 67 %.
    assert separation_power(bout(3.5, 3, other_df=12, count=8)) == pytest.approx(0.67, abs=0.02)


def test_set_ups_far_apart_need_no_more_runs_and_equal_ones_are_never_told_apart() -> None:
    assert runs_to_separate(bout(20.0, 3, other_df=12, count=8)) == 0
    assert runs_to_separate(bout(0.0, 3, other_df=12, count=8)) is None


def test_the_number_told_gives_the_power_and_one_less_does_not() -> None:
    more = runs_to_separate(bout(2.0, 3, other_df=12, count=8))

    assert more is not None
    assert separation_power(bout(2.0, 3 + more, other_df=12, count=8)) >= 0.8
    assert separation_power(bout(2.0, 2 + more, other_df=12, count=8)) < 0.8


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
