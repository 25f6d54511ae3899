"""Which figures of a spec sheet count, from the rows of a bench."""

from __future__ import annotations

from contextlib import closing
from datetime import date
from pathlib import Path

from flow.benches import copy_of_small_bench
from trialpress.analyses import work_out_analyses
from trialpress.bench import Bench
from trialpress.intake import read_bench
from trialpress.measure import measure_runs
from trialpress.results import work_out
from trialpress.store import build_store

AS_OF = date(2031, 6, 1)


def test_the_figure_of_one_mode_does_not_stand_for_the_machine(tmp_path: Path) -> None:
    bench = Bench(copy_of_small_bench(tmp_path / "bench"))
    setups = bench.catalogue / "setups.csv"
    setups.write_text(
        setups.read_text("utf-8") + "one-eco,stick-one,eco,eco,false,false,\n", "utf-8"
    )
    (bench.catalogue / "claims.csv").write_text(
        "claim,machine,setup,quantity,value,unit,tolerance_pct,source,stated_on\n"
        "old,stick-one,,noise,70,dB(A),,box,2031-02-01\n"
        "new,stick-one,,noise,71,dB(A),5,box,2031-02-02\n"
        "eco,stick-one,one-eco,noise,66,dB(A),,box,2031-02-03\n",
        "utf-8",
    )
    store = build_store(read_bench(bench, AS_OF), AS_OF)

    with closing(store.connection):
        measure_runs(store)
        work_out(store)
        work_out_analyses(store)
        found = store.connection.execute(
            "select claim, is_newest, is_of_machine, setup, tolerance_pct, bound, why "
            "from claim_checks order by stated_on"
        ).fetchall()

    # Noise was read once, so that nothing has an interval. Lower is better: 5 % more would do.
    assert found == [
        ("old", False, False, "one-stock", 0.0, 70.0, "no-repeats"),
        ("new", True, True, "one-stock", 5.0, 74.55, "no-repeats"),
        ("eco", True, False, "one-eco", 0.0, None, "set-up-not-measured"),
    ]
