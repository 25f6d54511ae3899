"""What the store holds as of a date."""

from __future__ import annotations

import shutil
from contextlib import closing
from datetime import date
from functools import cache
from importlib import resources
from itertools import product
from pathlib import Path

import duckdb
import pytest

from flow.benches import copy_of_small_bench
from intake.typed_rows import records_of, typed_row
from trialpress.analyses import work_out_analyses
from trialpress.bench import TABLES, Bench
from trialpress.intake import read_bench
from trialpress.measure import measure_runs
from trialpress.results import work_out
from trialpress.store import Store, build_store, read_sql
from trialpress.store.models import CheckFailedError, declared_key, run_checks, run_models

SMALL = Bench(Path(__file__).parents[1] / "folders" / "base")


def store_as_of(text: str) -> Store:
    as_of = date.fromisoformat(text)
    return build_store(read_bench(SMALL, as_of), as_of)


seen_on = cache(store_as_of)
"""The same for all tests that only read it."""


def column(store: Store, sql: str) -> list[object]:
    return [row[0] for row in store.connection.execute(sql).fetchall()]


def test_a_set_up_under_embargo_takes_its_machine_its_maker_and_its_runs_with_it() -> None:
    store = seen_on("2031-05-31")

    assert column(store, "select setup from setups") == ["one-stock"]
    assert column(store, "select machine from machines") == ["stick-one"]
    assert column(store, "select maker from makers") == ["maker-one"]
    assert column(store, "select distinct setup from runs") == ["one-stock"]
    assert "two-stock" not in column(store, 'select "row" from corrections')


def test_a_bench_of_headers_alone_has_a_store_without_rows(tmp_path: Path) -> None:
    bench = Bench(copy_of_small_bench(tmp_path / "bench"))
    shutil.rmtree(bench.days)
    shutil.rmtree(bench.catalogue / "methods")
    for file in [*bench.catalogue.glob("*.csv"), *bench.data.glob("*.csv")]:
        file.write_text(file.read_text("utf-8").splitlines()[0] + "\n", "utf-8")

    store = build_store(read_bench(bench, None), date(2031, 6, 1))

    kept = [store.connection.table(name).fetchall() for name in TABLES]
    assert kept == [[]] * len(TABLES)


def test_a_claim_about_a_set_up_under_embargo_is_hidden_with_it_also_where_it_once_was(
    tmp_path: Path,
) -> None:
    bench = Bench(copy_of_small_bench(tmp_path / "bench"))
    (bench.catalogue / "setups.csv").write_text(
        "setup,machine,label,stock,reference,publish_on\n"
        "one-stock,stick-one,as unboxed,true,true,\n"
        "one-eco,stick-one,eco,false,false,2031-06-01\n"
        "two-stock,robot-two,as unboxed,true,false,2031-06-01\n",
        "utf-8",
    )
    (bench.catalogue / "claims.csv").write_text(
        "claim,machine,setup,quantity,value,unit,source,stated_on\n"
        "plain,stick-one,,noise,72,dB(A),box,2031-02-01\n"
        "stock,stick-one,one-stock,noise,71,dB(A),box,2031-02-01\n"
        "eco,stick-one,one-eco,noise,66,dB(A),box,2031-02-01\n"
        "was-eco,stick-one,one-eco,noise,65,dB(A),box,2031-02-01\n",
        "utf-8",
    )
    with bench.corrections_file.open("a", encoding="utf-8") as file:
        file.write("named,claims,plain,setup,2031-02-02,,one-stock,it says so\n")
        file.write("other,claims,was-eco,setup,2031-02-02,one-eco,one-stock,mistaken\n")

    hidden, seen = (
        column(build_store(read_bench(bench, as_of), as_of), "select claim from claims")
        for as_of in (date(2031, 5, 31), date(2031, 6, 1))
    )

    assert hidden == ["plain", "stock"]
    assert seen == ["plain", "stock", "eco", "was-eco"]


def test_a_graded_run_with_one_row_that_was_once_under_a_hidden_set_up_is_hidden_whole(
    tmp_path: Path,
) -> None:
    bench = Bench(copy_of_small_bench(tmp_path / "bench"))
    with bench.corrections_file.open("a", encoding="utf-8") as file:
        for name, was, now in (
            ("there", "one-stock", "two-stock"),
            ("back", "two-stock", "one-stock"),
        ):
            file.write(f"{name},gradings,hall-11|left|ann,setup,2031-03-10,{was},{now},mistaken\n")

    def seen(as_of: date) -> tuple[list[object], list[object]]:
        store = build_store(read_bench(bench, as_of), as_of)
        runs = column(store, "select distinct run from gradings where run = 'hall-11'")
        return runs, column(store, "select correction from corrections where why = 'mistaken'")

    assert seen(date(2031, 5, 31)) == ([], [])
    assert seen(date(2031, 6, 1)) == (["hall-11"], ["there", "back"])


def test_it_is_there_on_its_day() -> None:
    assert column(seen_on("2031-06-01"), "select setup from setups order by all") == [
        "one-stock",
        "two-stock",
    ]


def test_later_days_protocols_and_corrections_are_not_there_yet() -> None:
    store = seen_on("2031-03-05")

    assert column(store, "select distinct day from runs") == ["2031-03-02-hall"]
    assert column(store, "select version from protocols where protocol = 'pickup'") == [1]
    assert column(store, "select count(*) from corrections") == [0]


def test_corrections_hold_and_what_was_typed_is_kept() -> None:
    store = seen_on("2031-06-01")

    corrected = store.rows("select before_g, after_g from weighings where run = 'hall-02'")
    typed = store.rows("select before_g, after_g from as_typed.weighings where run = 'hall-02'")

    assert corrected == [(260.3, 278.1)]
    assert typed == [("260.0", "272.0")]


def test_a_version_that_continues_is_of_one_series_with_the_one_before() -> None:
    series = seen_on("2031-06-01").rows(
        "select version, series_version, is_current from series where protocol = 'pickup'"
    )

    assert series == [(1, 2, True), (2, 2, True)]


def test_a_graded_run_is_one_run() -> None:
    runs = seen_on("2031-06-01").rows("select operator, status from runs where run = 'hall-11'")

    assert runs == [("ann, ben", "valid")]


@pytest.mark.parametrize("statuses", list(product(("planned", "valid", "void"), repeat=2)))
def test_the_status_of_a_graded_run_is_the_one_that_intake_goes_by(
    statuses: tuple[str, str],
) -> None:
    rows = [typed_row("gradings", row, status=status) for row, status in enumerate(statuses, 2)]
    (run,) = records_of(*rows).runs

    ((stored,),) = duckdb.execute(
        "select max(s) from unnest(?) as t (s)", [list(statuses)]
    ).fetchall()

    assert stored == run.status
    assert "max(r.status) as status" in read_sql("trialpress.store", "models/runs/runs.sql")


def test_planned_and_void_runs_are_told_apart_from_valid_ones() -> None:
    status = dict(seen_on("2031-06-01").rows("select run, status from runs"))

    assert status["hall-04"] == "void"
    assert status["hall-06"] == "planned"
    assert status["hall-05"] == "valid"


def test_models_are_made_after_those_they_read() -> None:
    store = store_as_of("2031-06-01")
    store.connection.execute("drop table series; drop table runs")

    run_models(store.connection, "trialpress.store", "models/runs")

    assert column(store, "select count(*) > 0 from runs") == [True]


def test_a_model_whose_declared_key_does_not_hold_stops_the_build() -> None:
    connection = duckdb.connect()
    twice = "-- model: hours\n-- grain: one row an hour; key: day,\n--        hour\nselect * from t"
    connection.execute(
        "create table t as from (values (1, 2, 'a'), (1, 2, 'b')) as t (day, hour, x)"
    )

    with pytest.raises(CheckFailedError, match=r"\(day, hour\) names one row of the model hours"):
        run_models(connection, "trialpress", "words", and_these={"hours": twice})


def test_a_check_that_finds_rows_stops_the_build_with_its_sentence() -> None:
    store = store_as_of("2031-06-01")
    store.connection.execute("update runs set setup = 'nobody' where run = 'hall-01'")

    with pytest.raises(CheckFailedError, match="every visible run has a visible set-up"):
        run_checks(store.connection, "trialpress.store", "checks")


def test_what_a_query_declares_as_its_key_names_one_row() -> None:
    store = store_as_of("2031-06-01")
    measure_runs(store)
    work_out(store)
    work_out_analyses(store, [])
    queries = resources.files("trialpress.view").joinpath("queries").iterdir()
    declared = {query.name: declared_key(query.read_text(encoding="utf-8")) for query in queries}

    assert len([key for key in declared.values() if key]) >= 20
    for name, columns in declared.items():
        sql = read_sql("trialpress.view", f"queries/{name}")
        if not columns or "$1" in sql:
            continue
        key = ", ".join(f'"{column}"' for column in columns)
        twice = f"select {key} from ({sql}) group by all having count(*) > 1"  # noqa: S608
        assert store.connection.execute(twice).fetchall() == [], name


def test_a_film_is_there_from_its_day_and_a_mark_with_what_it_shows() -> None:
    def labels(as_of: str) -> list[object]:
        return column(seen_on(as_of), "select label from film_marks")

    assert labels("2031-06-07") == []
    assert labels("2031-06-08") == [
        "What it is about",
        "A run on the rug",
        "The robot",
        "How hair was tried",
    ]


def test_a_mark_that_shows_a_hidden_set_up_a_hidden_run_or_a_later_protocol_is_hidden(
    tmp_path: Path,
) -> None:
    bench = Bench(copy_of_small_bench(tmp_path / "bench"))
    (bench.data / "films.csv").write_text(
        "film,title,address\nsticks,Out already,https://films.example/sticks\n", "utf-8"
    )
    (bench.data / "film_marks.csv").write_text(
        "film,at,label,run,setup,protocol\n"
        "sticks,0:00:00,all of it,,,\n"
        "sticks,0:00:01,a run of the stick,hall-01,,\n"
        "sticks,0:00:02,the stick,,one-stock,\n"
        "sticks,0:00:03,a rug,,,pickup\n"
        "sticks,0:00:04,the robot,,two-stock,\n",
        "utf-8",
    )

    def labels(text: str) -> list[object]:
        as_of = date.fromisoformat(text)
        return column(build_store(read_bench(bench, as_of), as_of), "select label from film_marks")

    assert labels("2031-01-05") == ["all of it", "the stick"]
    assert labels("2031-05-31") == ["all of it", "a run of the stick", "the stick", "a rug"]
    assert labels("2031-06-01") == [*labels("2031-05-31"), "the robot"]


def test_a_soil_or_an_instrument_that_only_hidden_rows_use_is_hidden(tmp_path: Path) -> None:
    bench = Bench(copy_of_small_bench(tmp_path / "bench"))
    for table, row in (
        ("soils", "moon-dust,Moon dust,dust\n"),
        ("instruments", "spare,mass,g,0.1\nused-later,mass,g,0.1\n"),
    ):
        (bench.catalogue / f"{table}.csv").write_text(
            extended(bench.catalogue / f"{table}.csv", row), "utf-8"
        )
    weighings = bench.days / "2031-03-09-porch" / "weighings.csv"
    weighings.write_text(weighings.read_text("utf-8").replace("balance", "used-later"), "utf-8")

    def names(as_of: date) -> list[object]:
        store = build_store(read_bench(bench, as_of), as_of)
        return column(store, "select soil from soils union select instrument from instruments")

    before, after = set(names(date(2031, 3, 5))), set(names(date(2031, 3, 10)))

    assert after - before == {"meter", "used-later"}
    assert {"moon-dust", "spare"} <= before  # nobody has used them yet


def test_operators_are_kept_back_unless_the_bench_shows_them(tmp_path: Path) -> None:
    bench = Bench(copy_of_small_bench(tmp_path / "bench"))
    settings = bench.settings_file.read_text("utf-8")
    bench.settings_file.write_text(settings.replace("show_operators = true", ""), "utf-8")
    as_of = date(2031, 6, 1)

    shown = seen_on("2031-06-01")
    kept_back = build_store(read_bench(bench, as_of), as_of)

    every = "select operator from {} where operator is not null"
    assert {"ann, ben"} <= set(column(shown, every.format("runs")))
    for table in ("weighings", "values", "counts", "as_typed.weighings"):
        assert column(kept_back, every.format(table)) == []
    assert column(kept_back, every.format("runs")) == ["grader-1, grader-2"]


def test_graders_are_numbered_everywhere_unless_the_bench_shows_operators(tmp_path: Path) -> None:
    bench = Bench(copy_of_small_bench(tmp_path / "bench"))
    settings = bench.settings_file.read_text("utf-8")
    bench.settings_file.write_text(settings.replace("show_operators = true", ""), "utf-8")
    gradings = bench.days / "2031-03-02-hall" / "gradings.csv"
    typed = gradings.read_text("utf-8").replace(",ann,", ",zoe-q,")  # graded first, sorted last
    gradings.write_text(typed, "utf-8")
    as_of, file = date(2031, 6, 1), tmp_path / "store.duckdb"

    with closing(build_store(read_bench(bench, as_of), as_of, file).connection) as store:
        both = [
            store.table(table).project("zone, grader").distinct().order("all").fetchall()
            for table in ("gradings", "as_typed.gradings")
        ]
        corrected = store.sql(
            "select c.now, c.row_key from corrections as c inner join gradings as g "
            "on c.\"table\" = 'gradings' and c.\"row\" = g.row_key where g.grader = 'grader-2'"
        ).fetchall()
        operators = store.sql("select operator from runs where run = 'hall-11'").fetchall()

    numbered = [(z, g) for z in ("left", "right") for g in ("grader-1", "grader-2")]
    assert both == [numbered, numbered]
    assert corrected == [("1", "grade|gradings|hall-11|right|grader-2|grade")]
    assert operators == [("grader-1, grader-2",)]
    assert b"zoe-q" not in file.read_bytes()


def test_a_warning_about_a_hidden_run_is_not_told_with_a_build(tmp_path: Path) -> None:
    bench = Bench(copy_of_small_bench(tmp_path / "bench"))
    weighings = bench.days / "2031-03-02-hall" / "weighings.csv"
    weighings.write_text(weighings.read_text("utf-8").replace(",327.2", ",331.0"), "utf-8")

    def told(text: str) -> set[str]:
        as_of = date.fromisoformat(text)
        return {
            finding.value or "" for finding in build_store(read_bench(bench, as_of), as_of).findings
        }

    assert told("2031-06-01") - told("2031-05-31") == {"331.0"}


def extended(file: Path, rows: str) -> str:
    """A table with rows of its first columns, the others blank."""
    text = file.read_text("utf-8")
    width = text.split("\n", 1)[0].count(",")
    return text + "".join(f"{row}{',' * (width - row.count(','))}\n" for row in rows.splitlines())
