"""A bench whose reference goes out of line, from the rows to the flags."""

from __future__ import annotations

import csv
import json
from datetime import date
from pathlib import Path

import duckdb
import numpy as np
import pytest

from flow.benches import copy_of_small_bench
from trialpress.bench import Bench
from trialpress.flow import Order, Output, build

# The reference (one-stock) reads 70.0 and 70.4 on even days, 70.6 and 71.0 on odd ones, and 78.0
# and 78.2 on the last of 24.
CALM = ([70.0, 70.4], [70.6, 71.0])
DAYS = 24


@pytest.fixture(scope="module")
def out(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = copy_of_small_bench(tmp_path_factory.mktemp("watched") / "bench")
    for number in range(1, DAYS + 1):
        last = number == DAYS
        write_day(folder, number, [78.0, 78.2] if last else CALM[number % 2])
    out = folder / "build"
    build(Order(Bench(folder), date(2031, 7, 1), out, (Output.STORE,), lambda _: None))
    return out


def write_day(folder: Path, number: int, values: list[float]) -> None:
    day = folder / "data" / "days" / f"2031-04-{number:02d}-hall"
    day.mkdir()
    with (day / "values.csv").open("w", encoding="utf-8", newline="") as target:
        writer = csv.writer(target, lineterminator="\n")
        writer.writerow(
            [
                "run",
                "at",
                "setup",
                "protocol",
                "version",
                "replicate",
                "instrument",
                "value",
                "status",
            ]
        )
        for i, value in enumerate(values):
            replicate = 2 * number + i
            writer.writerow(
                [f"w-{number}-{i}", f"2031-04-{number:02d}", "one-stock", "noise", 1, replicate,
                 "meter", value, "valid"]
            )  # fmt: skip


def ask(out: Path, sql: str) -> list[tuple[object, ...]]:
    with duckdb.connect(str(out / "store.duckdb"), read_only=True) as connection:
        return connection.execute(sql).fetchall()


def test_the_day_out_of_line_is_flagged_and_no_other(out: Path) -> None:
    assert ask(out, "select distinct day from drift where flags <> ''") == [("2031-04-24-hall",)]


def test_every_number_of_that_day_and_series_carries_the_flag(out: Path) -> None:
    flagged = ask(out, "select run from run_results where flags like '%bench-drift%' order by run")

    assert flagged == [("w-24-0",), ("w-24-1",)]


def test_the_limits_come_from_the_first_twenty_days(out: Path) -> None:
    assert ask(out, "select distinct baseline from drift where protocol = 'noise'") == [(20,)]


def test_limits_lie_as_far_below_the_centre_as_above(out: Path) -> None:
    found = np.array(
        ask(
            out,
            "select centre, (lower + upper) / 2, (average_lower + average_upper) / 2 from drift "
            "where protocol = 'noise'",
        )
    )

    assert len(found) > DAYS
    assert found[:, 1:] == pytest.approx(np.repeat(found[:, :1], 2, axis=1), abs=0.01)


def test_the_report_tells_the_tester(out: Path) -> None:
    told = json.loads((out / "report.json").read_text(encoding="utf-8"))["bench_watch"]

    assert any(
        "one-stock (runs w-24-0, w-24-1) is out of line: beyond-limits" in line for line in told
    )
