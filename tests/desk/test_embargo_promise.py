"""A build as of a date is that of a bench from which what was hidden then had been deleted."""

from __future__ import annotations

import re
import tempfile
from datetime import date
from pathlib import Path

import pytest
from hypothesis import Phase, example, given, settings

from desk.deleting import delete_hidden
from desk.random_benches import DATES, SETUPS, Drawn, drawn_benches, write_bench
from examples import TIMES, examples
from flow.benches import files_below
from trialpress.bench import Bench
from trialpress.flow import REPORT, Order, Output, build

EVERYDAY = (Phase.explicit,)


def built(bench: Path, as_of: str, output: Output) -> dict[str, bytes]:
    order = Order(
        Bench(bench), date.fromisoformat(as_of), bench / "build", (output,), lambda _: None
    )
    build(order)
    files = files_below(bench / "build")
    # The report counts rows as the tester's own files have them; it is no page.
    return {**files, REPORT: re.sub(rb'"row": \d+', b'"row": 0', files[REPORT])}


def assert_nothing_leaks(drawn: Drawn, output: Output) -> None:
    with tempfile.TemporaryDirectory() as folder:
        whole = write_bench(drawn, Path(folder) / "whole")
        deleted = write_bench(drawn, Path(folder) / "deleted")
        delete_hidden(deleted, drawn.as_of)

        with_hidden = built(whole, drawn.as_of, output)
        without = built(deleted, drawn.as_of, output)

    assert sorted(with_hidden) == sorted(without)
    assert [name for name in without if without[name] != with_hidden[name]] == []


def drawn_with(as_of: str, hidden: tuple[str, ...], mistyped: tuple[str, ...]) -> Drawn:
    return Drawn(
        as_of=as_of,
        publish_on={setup: DATES[-1] if setup in hidden else "" for setup in SETUPS},
        laid_on="2031-03-12",
        version_2_from="2031-03-05",
        stated_on=DATES[0],
        mistyped=mistyped,
        corrected_on=(DATES[0],) * 6,
        gains=tuple(range(150, 168)),
    )


OVER_A_HIDDEN_ONE = drawn_with("2031-03-20", ("a2-one",), ("a1-one", "a2-one", "b1-one"))
FROM_A_HIDDEN_ONE = drawn_with("2031-03-20", ("c1-one",), ("c1-one", "b1-one"))
BEFORE_A_FLOOR = drawn_with("2031-03-05", ("c1-one",), ("a1-one", "b1-one"))
ONE_OF_TWO_HIDDEN = drawn_with("2031-03-20", ("b1-two",), ("b1-one", "b1-two"))


@pytest.mark.dear
@example(OVER_A_HIDDEN_ONE)
@example(FROM_A_HIDDEN_ONE)
@example(BEFORE_A_FLOOR)
@settings(max_examples=examples(5), phases=EVERYDAY if TIMES == 1 else tuple(Phase))
@given(drawn_benches())
def test_the_dataset_is_that_of_a_bench_without_the_hidden_rows(drawn: Drawn) -> None:
    """Of three benches that once leaked; audits draw many besides."""
    assert_nothing_leaks(drawn, Output.DATASET)


@pytest.mark.dear
@pytest.mark.parametrize("drawn", [ONE_OF_TWO_HIDDEN])
def test_the_site_is_that_of_a_bench_without_the_hidden_rows(drawn: Drawn) -> None:
    """And its dataset, which a site holds a copy of."""
    assert_nothing_leaks(drawn, Output.SITE)
