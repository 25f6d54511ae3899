"""The seeded benches, and the table that costs are told in."""

from datetime import date
from pathlib import Path

import pytest

from flow.benches import open_results
from speed.measure_bench import Cost, Measured, add_run, lines_of
from speed.plain_script import read_tables, run_values
from speed.seeded_bench import PROTOCOLS, Size, write_bench
from trialpress.bench import Bench

AS_OF = date(2030, 1, 1)


def test_a_seeded_bench_has_no_faults_and_the_means_of_the_plain_script(tmp_path: Path) -> None:
    write_bench(tmp_path, Size(3))
    add_run(tmp_path)
    runs = run_values(read_tables(tmp_path / "data"))
    theirs = runs.groupby(["protocol", "setup"])["value"].agg(["count", "mean"])  # pandas

    with open_results(Bench(tmp_path), AS_OF) as store:
        ours = store.rows(
            "select c.n, m.mean from cell_means as m"
            " inner join cells as c using (protocol, setup) order by m.protocol, m.setup"
        )

    assert len(ours) == 4 * len(PROTOCOLS)  # the second machine has two set-ups
    assert [n for n, _ in ours] == theirs["count"].to_list()
    assert [mean for _, mean in ours] == pytest.approx(theirs["mean"].to_list(), rel=1e-12)


def test_exponents_are_slopes_between_neighbouring_sizes() -> None:
    cost = {"plain script": 10.0, "frictionless alone": 4.0, "check": 1.0}
    builds = {"build, cold": 5.0, "build, nothing new": 1.0, "build, one row more": 2.0}
    small = {what: Cost(cpu_s, 100) for what, cpu_s in {**cost, **builds}.items()}
    large = {**small, "build, cold": Cost(50.0, 100)}

    lines = list(lines_of([Measured(30, small, 1, 2, 2), Measured(300, large, 1, 2, 2)]))

    assert "| **plain script / cold build** | **2.00** | **0.20** |" in lines
    assert "| exponent of build, cold |  | 1.00 |" in lines  # ten times as much for ten times
