"""A spreadsheet becomes rows in day folders: nothing is invented, doubled or refused silently."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from flow.benches import copy_of_small_bench
from trialpress.bench import Bench
from trialpress.desk.adopt import Adoption, AdoptionRequest, Mapping, adopt, write_adoption
from trialpress.intake import read_bench

SAID = Mapping(
    word="old",
    columns={"at": "Datum", "setup": "Gerät", "instrument": "Waage", "note": "Bemerkung"},
    fixed={"protocol": "edges", "dose_by": "reading", "dose_instrument": "balance"},
)
HEADER = "Datum;Time;Gerät;Dose (g);Before [kg];After [kg];Waage;Bemerkung\n"
FIRST = "03.04.2031;19:05;Stick One;10,10;0,2601;0,2613;balance;schön\n"
SECOND = "04.04.2031;;Stick One;10,1;0,2601;0,2612;alte Waage;ohne Zeit\n"


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench(copy_of_small_bench(tmp_path / "bench"))


def text_file(bench: Bench, *rows: str, encoding: str = "cp1252") -> Path:
    file = bench.root / "old.csv"
    file.write_bytes((HEADER + "".join(rows)).encode(encoding))
    return file


def adopted(bench: Bench, file: Path, mapping: Mapping = SAID) -> Adoption:
    adoption = adopt(bench, AdoptionRequest(file, mapping))
    write_adoption(bench, adoption)
    return adoption


def lines_of(bench: Bench, day: str, table: str = "weighings") -> list[str]:
    return (bench.days / day / f"{table}.csv").read_text(encoding="utf-8").splitlines()


def test_semicolons_decimal_commas_kilograms_and_an_old_encoding_are_understood(
    bench: Bench,
) -> None:
    adopted(bench, text_file(bench, FIRST))

    assert lines_of(bench, "2031-04-03-old")[1] == (
        "2031-04-03-old-01,2031-04-03T19:05,one-stock,edges,1,,balance,10.10,reading,balance,"
        "260.1,261.3,,,,,,valid,,schön"
    )
    assert read_bench(bench, None).findings == ()


def test_a_time_that_was_not_noted_and_an_unknown_instrument_stay_blank(bench: Bench) -> None:
    adoption = adopted(bench, text_file(bench, SECOND))

    assert ",2031-04-04,one-stock,edges,1,,,10.1," in lines_of(bench, "2031-04-04-old")[1]
    ((_, remark),) = adoption.remarks
    assert remark == "instrument alte Waage is not in the catalogue and stays blank"


def test_a_net_mass_needs_no_before_and_after(bench: Bench) -> None:
    file = bench.root / "net.csv"
    file.write_text("date,machine,dose,net\n2031-04-03,Stick One,10,1.2\n", encoding="utf-8")

    (row,) = adopted(bench, file, replace(SAID, columns={})).rows

    assert row.cells["gain_g"] == "1.2"
    assert not {"before_g", "after_g"} & set(row.cells)


def test_a_trial_without_write_touches_nothing(bench: Bench) -> None:
    adoption = adopt(bench, AdoptionRequest(text_file(bench, FIRST), SAID))

    assert len(adoption.rows) == 1
    assert not (bench.data / "adopted").exists()
    assert not (bench.days / "2031-04-03-old").exists()


def test_run_twice_it_adds_nothing_twice(bench: Bench) -> None:
    file = text_file(bench, FIRST, SECOND)
    adopted(bench, file)
    before = lines_of(bench, "2031-04-03-old")

    again = adopted(bench, file)

    assert (len(again.rows), len(again.already)) == (0, 2)
    assert lines_of(bench, "2031-04-03-old") == before


def test_a_file_that_has_grown_adds_what_is_new_wherever_it_stands(bench: Bench) -> None:
    adopted(bench, text_file(bench, FIRST))

    again = adopted(bench, text_file(bench, SECOND, FIRST))

    assert [row.cells["at"] for row in again.rows] == ["2031-04-04"]
    assert len(again.already) == 1


def test_two_rows_that_say_the_same_are_two_runs(bench: Bench) -> None:
    adoption = adopted(bench, text_file(bench, FIRST, FIRST))

    assert len({row.cells["run"] for row in adoption.rows}) == 2


def test_a_row_changed_since_it_was_adopted_is_not_added_beside_itself(bench: Bench) -> None:
    adopted(bench, text_file(bench, FIRST))

    again = adopted(bench, text_file(bench, FIRST.replace("0,2613", "0,2614")))

    (refused,) = again.refused
    assert refused.reason.startswith("2031-04-03-old-01: it was adopted with other values")


def test_a_row_that_a_power_cut_lost_is_written_by_the_next_run(bench: Bench) -> None:
    file = text_file(bench, FIRST, SECOND)
    adopted(bench, file)
    written = lines_of(bench, "2031-04-04-old")
    provenance = (bench.data / "adopted" / "provenance.csv").read_bytes()
    (bench.days / "2031-04-04-old" / "weighings.csv").unlink()

    adopted(bench, file)

    assert lines_of(bench, "2031-04-04-old") == written
    assert (bench.data / "adopted" / "provenance.csv").read_bytes() == provenance


def test_the_original_is_kept_and_every_row_says_where_it_came_from(bench: Bench) -> None:
    file = text_file(bench, FIRST)
    adoption = adopted(bench, file)

    (line,) = (bench.data / "adopted" / "provenance.csv").read_text().splitlines()[1:]

    cells = line.split(",")
    assert cells[:4] == ["weighings", "2031-04-03-old", "2031-04-03-old-01", "old.csv"]
    assert cells[7] == "2"
    assert (bench.data / "adopted" / cells[4]).read_bytes() == file.read_bytes()
    assert cells[5] == adoption.spreadsheet.sha256


@pytest.mark.parametrize(
    ("row", "reason"),
    [
        ("Abend;;;80,4;;;;\n", "Abend is no date; setup is blank"),
        (FIRST.replace("Stick One", "Stick Two"), "Stick Two is no known setup (is one-stock"),
        (FIRST.replace("Stick One", ""), "setup is blank"),
        (FIRST.replace("0,2613", "viel"), "viel is no number"),
        (FIRST.replace("10,10", "10,10 ml"), "10,10 ml is in ml, and the column in g"),
        (FIRST.replace("2031", "2030"), "no version of edges holds on 2030-04-03"),
        (FIRST.replace("10,10", "14,10"), "dose_g "),
        (FIRST.replace("schön", "=1+1"), "note "),
    ],
)
def test_a_row_that_is_not_adopted_says_why(row: str, reason: str, bench: Bench) -> None:
    adoption = adopted(bench, text_file(bench, row, SECOND))

    (refused,) = adoption.refused
    assert refused.reason.startswith(reason)
    assert [one.cells["at"] for one in adoption.rows] == ["2031-04-04"]
    assert read_bench(bench, None).findings == ()


def test_runs_older_than_those_of_the_bench_are_taken_in(bench: Bench) -> None:
    rows = (FIRST.replace(".04.", ".02."), SECOND.replace(".04.", ".02."))

    adoption = adopted(bench, text_file(bench, *rows))

    assert (len(adoption.rows), adoption.refused) == (2, ())
    assert read_bench(bench, None).findings == ()


def test_a_date_with_slashes_is_not_guessed(bench: Bench) -> None:
    slashed = FIRST.replace("03.04.2031", "03/04/2031")

    (refused,) = adopted(bench, text_file(bench, slashed)).refused
    said = replace(SAID, date_format=("%d/%m/%Y",))
    (row,) = adopted(bench, text_file(bench, slashed), said).rows

    assert refused.reason == (
        "03/04/2031 can be two dates: say date_order or date_format in the mapping"
    )
    assert row.day == "2031-04-03-old"


def test_grades_of_one_run_share_its_name(bench: Bench) -> None:
    file = bench.root / "grades.csv"
    file.write_text(
        "date,machine,rep,zone,grader,grade\n"
        "2031-04-03,Stick One,2,left,ann,0\n"
        "2031-04-03,Stick One,2,right,ann,1\n",
        encoding="utf-8",
    )

    said = Mapping(word="old", fixed={"protocol": "stains"})
    rows = adopted(bench, file, said).rows

    assert {row.cells["run"] for row in rows} == {"2031-04-03-old-01"}
    assert len(lines_of(bench, "2031-04-03-old", "gradings")) == 3
