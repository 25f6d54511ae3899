"""Files as spreadsheets save them: read as they are, and rewritten where that is asked for."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from flow.benches import copy_of_small_bench
from trialpress.bench import Bench
from trialpress.desk.append import ChangingFileError, append_rows, record_text
from trialpress.desk.tidy import tidy, write_tidied
from trialpress.intake import FaultyBenchError, read_bench
from trialpress.intake.folder import TableFile
from trialpress.intake.table_file import read_table_file
from typed import trialpress

PORCH = "data/days/2031-03-09-porch/weighings.csv"
SPREADSHEET = (
    "\ufeffrun;at;setup;protocol;version;instrument;dose_g;before_g;after_g;status\r\n"
    "porch-01;09.03.2031 10:00;one-stock;pickup;2;balance;20,0;260,20;278,8;Valid\r\n"
    ";;;;;;;;;\r\n"
)


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench(copy_of_small_bench(tmp_path / "bench"))


def cells_of(bench: Bench) -> Mapping[str, str | None]:
    rows = read_bench(bench, None).tables["weighings"].as_typed
    (cells,) = [row.cells for row in rows if row.key == ("porch-01",)]
    return cells


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


def test_rows_are_added_in_the_dialect_of_their_file(bench: Bench) -> None:
    """As the spreadsheet that saved it would: a point would make a date of 20.1 there."""
    (bench.root / PORCH).write_bytes(SPREADSHEET.encode())
    row = {"run": "porch-02", "at": "2031-03-09T10:30", "dose_g": "20.1", "before_g": "1260.125"}

    append_rows(bench.root / PORCH, ("run",), [row])

    added = (
        (bench.root / PORCH)
        .read_bytes()
        .decode()
        .removeprefix(SPREADSHEET[: -len(";;;;;;;;;\r\n")])
    )
    assert added == "porch-02;2031-03-09T10:30;;;;;20,1;1260,125;;\r\n"


def test_rows_in_the_house_form_stay_byte_for_byte(bench: Bench) -> None:
    kept = '\ufeff"run",at,setup,protocol,version,replicate,value,status\r\n'
    porch = bench.root / "data/days/2031-03-09-porch/values.csv"
    porch.write_bytes(
        (
            kept + '"porch-11",2031-03-09T10:30,one-stock,noise,1,1,"71,4",valid\r\n'
            "porch-12,2031-03-09T10:40,two-stock,noise,1,1,68.0,valid\r\n,,,,,,,\r\n"
        ).encode()
    )

    write_tidied(bench, tidy(bench, ()))

    assert porch.read_bytes().decode() == (
        kept + "porch-11,2031-03-09T10:30,one-stock,noise,1,1,71.4,valid\r\n"
        "porch-12,2031-03-09T10:40,two-stock,noise,1,1,68.0,valid\r\n"
    )


def test_what_an_editor_saved_meanwhile_stays(bench: Bench) -> None:
    (bench.root / PORCH).write_bytes(SPREADSHEET.encode())
    found = tidy(bench, ())
    (bench.root / PORCH).write_bytes(b"saved meanwhile")

    with pytest.raises(ChangingFileError):
        write_tidied(bench, found)

    assert (bench.root / PORCH).read_bytes() == b"saved meanwhile"


def test_what_a_power_cut_left_beside_a_file_goes_when_it_is_written_again(bench: Bench) -> None:
    file = bench.root / PORCH
    file.write_bytes(SPREADSHEET.encode())
    left = file.with_name(f".{file.name}.{'0' * 16}.new")
    of_another = file.with_name(f".gradings.csv.{'0' * 16}.new")
    for half in (left, of_another):
        half.write_bytes(b"half a fi")

    write_tidied(bench, tidy(bench, ()))

    assert not left.exists()
    assert of_another.exists()


def test_a_file_that_cannot_be_read_has_no_house_form(bench: Bench) -> None:
    (bench.root / PORCH).write_bytes(SPREADSHEET.encode("utf-16"))

    done = trialpress("tidy", "--yes", folder=bench.root)

    assert done.returncode == 1
    assert "UTF-16" in done.stdout
    assert "Every file has the house form." not in done.stdout


CELLS = st.sampled_from(["", " ", "12,5", "12.50", "1,234", "1.234", "Valid", "02.03.2031", "a;b"])


@settings(deadline=None)
@given(
    st.lists(st.lists(CELLS, min_size=5, max_size=5), max_size=4),
    st.sampled_from([",", ";", "\t"]),
    st.sampled_from(["\n", "\r\n"]),
)
def test_tidying_twice_is_tidying_once_and_means_the_same(
    tmp_path_factory: pytest.TempPathFactory, rows: list[list[str]], delimiter: str, line_end: str
) -> None:
    bench = Bench(tmp_path_factory.mktemp("bench"))
    place = bench.days / "2031-03-02-hall" / "weighings.csv"
    place.parent.mkdir(parents=True)
    header = ["Run", "at", "before_g", "after_g ", "status"]
    lines = [record_text(cells, line_end, delimiter) for cells in [header, *rows]]
    place.write_bytes("".join(lines).encode())
    file = TableFile(
        place, "data/days/2031-03-02-hall/weighings.csv", "weighings", place.parent.name
    )
    before = read_table_file(file)

    write_tidied(bench, () if before.doubts else tidy(bench, ()))

    after = read_table_file(file)
    assert (after.rows, after.doubts) == (before.rows, before.doubts)
    assert before.doubts or tidy(bench, ()) == ()


def test_a_correction_of_a_cell_in_another_spelling_names_either(bench: Bench) -> None:
    (bench.root / PORCH).write_bytes(SPREADSHEET.encode())
    line = 'c-9,weighings,porch-01,after_g,2031-03-10,"278,8",278.9,Misread.\n'
    with bench.corrections_file.open("a", encoding="utf-8") as file:
        file.write(line)

    corrected = read_bench(bench, None).tables["weighings"].corrected

    assert "278.9" in {row.cells["after_g"] for row in corrected}


def test_a_number_that_can_mean_two_things_is_left_alone(bench: Bench) -> None:
    unclear = SPREADSHEET.replace("278,8", "1.278")
    (bench.root / PORCH).write_bytes(unclear.encode())

    with pytest.raises(FaultyBenchError, match=r"can be 1\.278 or 1278"):
        read_bench(bench, None)
    done = trialpress("tidy", "--yes", folder=bench.root)

    assert done.returncode == 1
    assert (bench.root / PORCH).read_bytes() == unclear.encode()
