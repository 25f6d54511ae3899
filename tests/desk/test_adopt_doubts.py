"""What a spreadsheet says by other means than its figures is asked or told, never passed over."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import openpyxl
import pytest
from openpyxl.comments import Comment
from openpyxl.styles import Font, PatternFill

from flow.benches import copy_of_small_bench
from trialpress.bench import Bench
from trialpress.desk.adopt import Adoption, AdoptionRequest, Mapping, adopt
from trialpress.desk.adopt.adoption import FormulaNameError

NOISE = Mapping(fixed={"protocol": "noise"})
EDGES = Mapping(fixed={"protocol": "edges", "dose_by": "reading"})
HEADER = "date,machine,dose,net,brush,note\n"


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench(copy_of_small_bench(tmp_path / "bench"))


def percent_workbook(bench: Bench, header: str) -> Path:
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.append(["date", "machine", "dose", header])
    sheet.append([date(2031, 4, 3), "Stick One", 10, 0.84])
    sheet["D2"].number_format = "0%"
    sheet["B2"].fill = PatternFill("solid", fgColor="FFFFCC00")
    sheet["C2"].comment = Comment("spilt a little", "tester")
    sheet["C2"].font = Font(strike=True)
    book.save(bench.root / "old.xlsx")
    return bench.root / "old.xlsx"


def from_text(bench: Bench, *rows: str, mapping: Mapping = EDGES) -> Adoption:
    file = bench.root / "old.csv"
    file.write_text(HEADER + "".join(f"{row}\n" for row in rows), encoding="utf-8")
    return adopt(bench, AdoptionRequest(file, mapping))


def test_a_percentage_is_no_mass(bench: Bench) -> None:
    adoption = adopt(bench, AdoptionRequest(percent_workbook(bench, "net"), EDGES))

    (refused,) = adoption.refused
    assert refused.reason == "84 % is in %, and the column in g"


def test_a_percentage_is_no_value_in_another_unit(bench: Bench) -> None:
    adoption = adopt(bench, AdoptionRequest(percent_workbook(bench, "value"), NOISE))

    (refused,) = adoption.refused
    assert refused.reason == "84 % is in %, and the column in dB(A)"


def test_a_percentage_of_a_protocol_in_percent_is_the_number_shown(bench: Bench) -> None:
    protocols = bench.catalogue / "protocols.csv"
    protocols.write_text(protocols.read_text("utf-8").replace("dB(A)", "%"), encoding="utf-8")
    for table in (bench.catalogue / "claims.csv", *bench.days.rglob("values.csv")):
        table.write_text(table.read_text("utf-8").splitlines()[0] + "\n", encoding="utf-8")

    adoption = adopt(bench, AdoptionRequest(percent_workbook(bench, "value"), NOISE))

    assert [row.cells["value"] for row in adoption.rows] == ["84"], adoption.refused


def test_colours_comments_and_what_is_struck_out_are_listed_by_cell(bench: Bench) -> None:
    adoption = adopt(bench, AdoptionRequest(percent_workbook(bench, "net"), EDGES))

    assert [(mark.row, mark.cell, mark.words) for mark in adoption.sheets[0].marks] == [
        (2, "B2", "is coloured (#FFCC00)"),
        (2, "C2", "has the comment “spilt a little”"),
        (2, "C2", "is struck out"),
    ]


def test_one_machine_with_two_brushes_is_asked_about(bench: Bench) -> None:
    adoption = from_text(
        bench,
        "2031-04-03,Stick One,10,1.2,soft,",
        "2031-04-03,Stick One,10,1.3,hard,",
        "2031-04-03,one-stock,10,1.3,hard,",
    )

    assert [row.cells["setup"] for row in adoption.rows] == ["one-stock"]
    assert len(adoption.refused) == 2
    assert adoption.refused[0].reason == (
        "Stick One has several set-ups here: brush says soft, hard. Write in the column of the "
        "machine which set-up each row is, or, where that column does not matter, say in "
        "[values.setup] of the mapping which set-up Stick One is"
    )


def test_a_brush_that_does_not_matter_is_said_once_in_the_mapping(bench: Bench) -> None:
    said = Mapping(fixed=EDGES.fixed, values={"setup": {"Stick One": "one-stock"}})
    rows = ("2031-04-03,Stick One,10,1.2,soft,", "2031-04-03,Stick One,10,1.3,hard,")

    assert len(from_text(bench, *rows, mapping=said).rows) == 2


@pytest.mark.parametrize(
    "words", ["aborted", "battery died at 3 min", "Invalid!", "stopped early", "abgebrochen"]
)
def test_a_run_that_was_aborted_in_words_is_void_and_told(words: str, bench: Bench) -> None:
    adoption = from_text(bench, f"2031-04-03,Stick One,10,1.2,,{words}")

    (row,) = adoption.rows
    assert (row.cells["status"], row.cells["reason"]) == ("void", words)
    ((_, remark),) = adoption.remarks
    assert remark.startswith(f"adopted as void with the reason “{words}”")


def test_a_name_that_a_spreadsheet_would_run_is_refused(bench: Bench) -> None:
    file = bench.root / "=1+1.csv"
    file.write_text(f"{HEADER}2031-04-03,Stick One,10,1.2,,\n", encoding="utf-8")

    with pytest.raises(FormulaNameError, match="Give it another name"):
        adopt(bench, AdoptionRequest(file, EDGES))


def test_words_that_say_nothing_against_a_run_leave_it_valid(bench: Bench) -> None:
    adoption = from_text(bench, "2031-04-03,Stick One,10,1.2,,avoided the edge; battery full")

    assert [row.cells["status"] for row in adoption.rows] == ["valid"]
