"""Files as spreadsheets save them: read as they are, and rewritten where that is asked for."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flow.benches import copy_of_small_bench
from trialpress.bench import Bench
from trialpress.desk.append import UnreadableTableError, append_rows
from trialpress.desk.tidy import tidy, write_tidied
from trialpress.intake import FaultyBenchError, read_bench, read_schema
from trialpress.intake.spelling import house_form
from typed import trialpress

PORCH = "data/days/2031-03-09-porch/weighings.csv"
SPREADSHEET = (
    "\ufeffrun;at;setup;protocol;version;instrument;dose_g;before_g;after_g;status\r\n"
    "porch-01;09.03.2031 10:00;one-stock;pickup;2;balance;20,0;260,20;278,8;Valid\r\n"
    ";;;;;;;;;\r\n"
)
NUMBER = read_schema("weighings").field("dose_g")


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench(copy_of_small_bench(tmp_path / "bench"))


def cells_of(bench: Bench) -> dict[str, object]:
    (row,) = [
        row
        for row in read_bench(bench, None).tables["weighings"].as_typed.to_dict("records")
        if row["run"] == "porch-01"
    ]
    return {str(name): value for name, value in row.items()}


def test_what_a_spreadsheet_writes_is_read_as_it_is_meant(bench: Bench) -> None:
    (bench.root / PORCH).write_bytes(SPREADSHEET.encode())

    cells = cells_of(bench)

    assert read_bench(bench, None).findings == ()
    assert (cells["at"], cells["status"]) == ("2031-03-09T10:00", "valid")
    assert (cells["dose_g"], cells["before_g"], cells["after_g"]) == ("20.0", "260.20", "278.8")


def test_tidy_shows_the_difference_then_writes_it_and_keeps_the_original(bench: Bench) -> None:
    (bench.root / PORCH).write_bytes(SPREADSHEET.encode())
    before = cells_of(bench)

    shown = trialpress("tidy", folder=bench.root)
    assert (bench.root / PORCH).read_bytes() == SPREADSHEET.encode()
    done = trialpress("tidy", "--yes", folder=bench.root)

    assert "- porch-01;09.03.2031 10:00" in shown.stdout
    assert "+ porch-01,2031-03-09T10:00" in shown.stdout
    assert "add --yes" in shown.stdout
    kept = "tidied/data--days--2031-03-09-porch--weighings-1.csv"
    assert kept in done.stdout
    assert (bench.root / kept).read_bytes() == SPREADSHEET.encode()
    assert (bench.root / PORCH).read_text(encoding="utf-8") == (
        "run,at,setup,protocol,version,instrument,dose_g,before_g,after_g,status\n"
        "porch-01,2031-03-09T10:00,one-stock,pickup,2,balance,20.0,260.20,278.8,valid\n"
    )
    assert cells_of(bench) == before
    assert trialpress("tidy", folder=bench.root).stdout == "Every file has the house form.\n"


def test_an_original_never_takes_the_place_of_an_earlier_one(bench: Bench) -> None:
    for _ in range(2):
        (bench.root / PORCH).write_bytes(SPREADSHEET.encode())
        write_tidied(bench, tidy(bench, (PORCH,)))

    assert len(list((bench.root / "tidied").iterdir())) == 2


def test_rows_are_not_added_to_a_file_with_semicolons(bench: Bench) -> None:
    (bench.root / PORCH).write_bytes(SPREADSHEET.encode())

    with pytest.raises(UnreadableTableError, match="trialpress tidy --yes"):
        append_rows(bench.root / PORCH, ("run",), [{"run": "x"}])


def test_a_correction_of_a_cell_in_another_spelling_names_either(bench: Bench) -> None:
    (bench.root / PORCH).write_bytes(SPREADSHEET.encode())
    line = 'c-9,weighings,porch-01,after_g,2031-03-10,"278,8",278.9,Misread.\n'
    with bench.corrections_file.open("a", encoding="utf-8") as file:
        file.write(line)

    corrected = read_bench(bench, None).tables["weighings"].corrected

    assert "278.9" in set(corrected["after_g"])


def test_a_number_that_can_mean_two_things_is_left_alone(bench: Bench) -> None:
    unclear = SPREADSHEET.replace("278,8", "1.278")
    (bench.root / PORCH).write_bytes(unclear.encode())

    with pytest.raises(FaultyBenchError, match="can be a little more than a whole number"):
        read_bench(bench, None)
    done = trialpress("tidy", "--yes", folder=bench.root)

    assert done.returncode == 1
    assert (bench.root / PORCH).read_bytes() == unclear.encode()


@pytest.mark.parametrize(
    ("table", "column", "typed", "house"),
    [
        ("setups", "stock", "TRUE", "true"),
        ("setups", "stock", "yes", "yes"),
        ("weighings", "status", "Valid", "valid"),
        ("weighings", "dose_g", "12,30", "12.30"),
        ("weighings", "dose_g", "1,234", "1,234"),  # a thousand, or a little more than one
        ("weighings", "dose_g", "1.234,5", "1.234,5"),
        ("weighings", "at", "26.11.2026", "2026-11-26"),
        ("weighings", "at", "6.1.2026 9:05", "2026-01-06T09:05"),
        ("weighings", "at", "2026-11-26 19:05", "2026-11-26T19:05"),
        ("weighings", "at", "03/04/2026", "03/04/2026"),
        ("floors", "laid_on", "31.02.2026", "31.02.2026"),
        ("machines", "name", "TRUE", "TRUE"),
    ],
)
def test_one_spelling_has_one_meaning(table: str, column: str, typed: str, house: str) -> None:
    assert house_form(typed, read_schema(table).field(column)) == house


@given(st.decimals(-1000, 1000, places=3, allow_nan=False))
def test_tidying_twice_is_tidying_once_and_keeps_every_digit(number: object) -> None:
    typed = f"{number:f}".replace(".", ",")

    once = house_form(typed, NUMBER, has_decimal_commas=True)

    assert once == f"{number:f}"
    assert house_form(once, NUMBER, has_decimal_commas=True) == once
