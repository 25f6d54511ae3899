"""The promises of a build: nothing hidden leaks, the same inputs give the same bytes."""

from __future__ import annotations

import os
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest

from flow.benches import copy_of_small_bench, delete_hidden, files_below
from trialpress.bench import Bench
from trialpress.flow import Order, Output, build

EVERYTHING = tuple(Output)
COMMAND = [sys.executable, "-m", "trialpress.cli"]
PIPELINE = Path(__file__).parents[2] / "pipeline"


def built(bench: Path, as_of: str, out: Path) -> Path:
    order = Order(Bench(bench), date.fromisoformat(as_of), out, EVERYTHING, lambda _: None)
    build(order)
    return out


@pytest.mark.parametrize("as_of", ["2031-03-05", "2031-03-09", "2031-03-15", "2031-04-01"])
def test_a_build_is_that_of_a_bench_without_the_hidden_rows(as_of: str, tmp_path: Path) -> None:
    whole = copy_of_small_bench(tmp_path / "whole")
    deleted = copy_of_small_bench(tmp_path / "deleted")
    delete_hidden(deleted, as_of)

    with_hidden = files_below(built(whole, as_of, tmp_path / "a"))
    without = files_below(built(deleted, as_of, tmp_path / "b"))

    assert sorted(with_hidden) == sorted(without)
    assert [name for name in without if without[name] != with_hidden[name]] == []


def test_no_trace_of_a_set_up_under_embargo_is_in_any_file(tmp_path: Path) -> None:
    bench = copy_of_small_bench(tmp_path / "bench")

    out = built(bench, "2031-04-01", tmp_path / "out")

    for name, content in {**files_below(out), "store": (out / "store.duckdb").read_bytes()}.items():
        for hidden in (b"two-stock", b"robot-two", b"Robot Two", b"Maker Two"):
            assert hidden not in content, name


def test_it_all_appears_on_the_day_of_publication(tmp_path: Path) -> None:
    bench = copy_of_small_bench(tmp_path / "bench")

    out = built(bench, "2031-06-01", tmp_path / "out")

    assert (out / "site" / "machines" / "robot-two.html").exists()


def test_clock_zone_locale_hash_seed_and_folder_do_not_change_a_byte(tmp_path: Path) -> None:
    first = copy_of_small_bench(tmp_path / "one" / "bench")
    second = copy_of_small_bench(tmp_path / "two" / "another-name")
    surroundings = [
        {"TZ": "Pacific/Auckland", "LC_ALL": "C", "PYTHONHASHSEED": "1"},
        {"TZ": "America/Lima", "LC_ALL": "C.UTF-8", "PYTHONHASHSEED": "2"},
    ]

    for bench, extra in zip((first, second), surroundings, strict=True):
        subprocess.run(
            [*COMMAND, "build", "--as-of", "2031-06-01", "--quiet"],
            cwd=bench,
            env=os.environ | extra | {"PYTHONPATH": str(PIPELINE)},
            check=True,
            capture_output=True,
        )

    assert files_below(first / "build") == files_below(second / "build")
