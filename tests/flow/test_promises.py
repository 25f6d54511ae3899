"""The promise of a build that nothing hidden leaks.

That the same inputs give the same bytes elsewhere is tested with the wheel, in ``house``.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from datetime import date
from functools import cache
from pathlib import Path

import pytest

from flow.benches import SMALL, copy_of_small_bench, delete_hidden, files_below
from trialpress.bench import Bench
from trialpress.flow import Order, Output, build

EVERYTHING = tuple(Output)
UNDER_EMBARGO, PUBLISHED = "2031-04-01", "2031-06-01"
CORRECTED_ON = "2031-03-20"
BuildOf = Callable[..., Path]


def built(bench: Path, as_of: str, out: Path, *outputs: Output) -> Path:
    """What is built of a bench; everything, where no outputs are named."""
    order = Order(
        Bench(bench), date.fromisoformat(as_of), out, outputs or EVERYTHING, lambda _: None
    )
    build(order)
    return out


@pytest.fixture(scope="module")
def bench_on(tmp_path_factory: pytest.TempPathFactory) -> BuildOf:
    """The small bench by the date it is built on; only to be read.

    From when it was corrected on, there was once a fault in a run under embargo: movements look
    back at the data as they stood.
    """
    mistyped = copy_of_small_bench(tmp_path_factory.mktemp("mistyped") / "bench")
    mistype_dose_until(mistyped, CORRECTED_ON, "hall-05", "20.0")
    return lambda as_of: SMALL if as_of < CORRECTED_ON else mistyped


@pytest.fixture(scope="module")
def small_build(bench_on: BuildOf, tmp_path_factory: pytest.TempPathFactory) -> BuildOf:
    """That bench as built for all tests here on a date; only to be read."""
    folder = tmp_path_factory.mktemp("built")
    return cache(lambda as_of, *outputs: built(bench_on(as_of), as_of, folder / as_of, *outputs))


@pytest.mark.parametrize(
    ("as_of", "outputs"),
    [
        ("2031-03-05", (Output.DATASET,)),
        ("2031-03-09", ()),
        ("2031-03-15", (Output.DATASET,)),
        (UNDER_EMBARGO, ()),
    ],
)
def test_a_build_is_that_of_a_bench_without_the_hidden_rows(
    as_of: str, outputs: tuple[Output, ...], bench_on: BuildOf, small_build: BuildOf, tmp_path: Path
) -> None:
    """The rows of every table on four dates; pages, charts and the rest of a build on two."""
    deleted = tmp_path / "deleted"
    shutil.copytree(bench_on(as_of), deleted)
    delete_hidden(deleted, as_of)

    with_hidden = files_below(small_build(as_of, *outputs))
    without = files_below(built(deleted, as_of, tmp_path / "out", *outputs))

    assert sorted(with_hidden) == sorted(without)
    assert [name for name in without if without[name] != with_hidden[name]] == []


def test_no_trace_of_a_set_up_under_embargo_is_in_any_file(small_build: BuildOf) -> None:
    out = small_build(UNDER_EMBARGO)
    contents = {**files_below(out), "store": (out / "store.duckdb").read_bytes()}

    assert "site/index.html" in contents
    for name, content in contents.items():
        for hidden in (b"two-stock", b"robot-two", b"Robot Two", b"Maker Two"):
            assert hidden not in content, name


def test_it_all_appears_on_the_day_of_publication(small_build: BuildOf) -> None:
    assert (small_build(PUBLISHED) / "site" / "machines" / "robot-two.html").exists()


def mistype_dose_until(bench: Path, corrected_on: str, run: str, dose: str) -> None:
    """Spoil the dose of a run of the first day, with a correction that came later."""
    table = bench / "data" / "days" / "2031-03-02-hall" / "weighings.csv"
    rows = table.read_text("utf-8").splitlines(keepends=True)
    typed = [
        row.replace(f",{dose},reading", ",30.0,reading") if row.startswith(run) else row
        for row in rows
    ]
    assert typed != rows
    table.write_text("".join(typed), "utf-8")
    with (bench / "data" / "corrections.csv").open("a", encoding="utf-8") as corrections:
        corrections.write(f"dose,weighings,{run},dose_g,{corrected_on},30.0,{dose},Mistyped.\n")


def test_movements_are_told_since_any_date_that_is_asked_for(tmp_path: Path) -> None:
    bench = copy_of_small_bench(tmp_path / "bench")
    until, out = date(2031, 4, 1), tmp_path / "out"
    start = date(2031, 3, 1)  # before the first day of the small bench

    build(Order(Bench(bench), until, out, (Output.DATASET,), lambda _: None, since=(start,)))

    spans = (out / "dataset" / "results" / "movement_spans.csv").read_text("utf-8").splitlines()
    moved = (out / "dataset" / "results" / "movements.csv").read_text("utf-8").splitlines()
    assert "2031-03-01,2031-04-01,2," in spans  # both bench days are later
    told = [line.split(",") for line in moved if line.startswith("2031-03-01")]
    assert told
    assert {row[5] for row in told} == {"new"}


def test_where_visible_rows_had_a_fault_on_the_earlier_date_movements_say_so(
    tmp_path: Path,
) -> None:
    bench = copy_of_small_bench(tmp_path / "bench")
    mistype_dose_until(bench, CORRECTED_ON, "hall-01", "20.1")

    out = built(bench, UNDER_EMBARGO, tmp_path / "out", Output.DATASET)

    spans = (out / "dataset" / "results" / "movement_spans.csv").read_text("utf-8")
    moved = (out / "dataset" / "results" / "movements.csv").read_text("utf-8")
    assert "2031-03-08,2031-04-01,1,had-faults" in spans
    assert len(moved.splitlines()) == 1
