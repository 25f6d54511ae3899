"""The front of results and prices, by brute force and by hand."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trialpress.analyses.codes import Why
from trialpress.analyses.value import Priced, is_old, value_rows

BUILD = date(2031, 6, 1)


def priced(name: str, mean: float, price: float | None, *, euro: bool = True) -> Priced:
    return Priced(
        protocol="pickup",
        version=1,
        position=1,
        setup=name,
        machine=f"machine-{name}",
        maker="one",
        mean=mean,
        low=None,
        high=None,
        n=3,
        place_best=1,
        place_worst=1,
        price=price,
        currency="EUR" if euro else "GBP",
        priced_on=date(2031, 1, 1),
        is_in_bench_currency=euro,
        unit="%",
        decimals=1,
    )


def better_where_means_differ_by(series: list[Priced], least: float) -> frozenset[tuple[str, str]]:
    return frozenset(
        (one.setup, other.setup)
        for one in series
        for other in series
        if one.mean - other.mean > least
    )


@given(
    st.lists(st.tuples(st.integers(0, 20), st.integers(1, 8)), min_size=1, max_size=8, unique=True),
    st.integers(0, 4),
)
def test_the_front_is_that_of_a_search_through_all_pairs(
    machines: list[tuple[int, int]], least: int
) -> None:
    series = [priced(f"s{i}", mean, price) for i, (mean, price) in enumerate(machines)]

    rows = list(value_rows(series, better_where_means_differ_by(series, least), BUILD))

    for i, row in enumerate(rows):
        rivals = [m for j, m in enumerate(machines) if j != i and m[1] <= machines[i][1]]
        is_beaten = any(mean - machines[i][0] > least for mean, _ in rivals)
        is_certain = all(machines[i][0] - mean > least for mean, _ in rivals)
        assert row.front == ("beaten" if is_beaten else "certain" if is_certain else "possible")


@given(st.lists(st.tuples(st.integers(0, 20), st.integers(1, 8)), min_size=1, max_size=8))
def test_some_machine_is_never_beaten(machines: list[tuple[int, int]]) -> None:
    series = [priced(f"s{i}", mean, price) for i, (mean, price) in enumerate(machines)]

    rows = list(value_rows(series, better_where_means_differ_by(series, 0), BUILD))

    assert any(row.front != "beaten" for row in rows)


def test_nothing_is_compared_without_a_price_in_the_same_currency() -> None:
    series = [
        priced("best", 99.0, 10.0, euro=False),
        priced("unpriced", 98.0, None),
        priced("plain", 50.0, 100.0),
    ]

    foreign, unpriced, plain = value_rows(series, better_where_means_differ_by(series, 0), BUILD)

    assert (foreign.front, foreign.why) == (None, Why.OTHER_CURRENCY)
    assert (unpriced.front, unpriced.why) == (None, Why.NO_PRICE)
    assert (plain.front, plain.cost_no_more) == ("certain", 0)


@pytest.mark.parametrize(
    ("noted", "expected"),
    [
        (date(2030, 6, 1), False),  # a year to the day
        (date(2030, 5, 31), True),
        (date(2028, 2, 29), True),
    ],
)
def test_a_price_is_old_after_a_year(noted: date, *, expected: bool) -> None:
    assert is_old(noted, BUILD) is expected
