"""Spreadsheets and mapping files are read in every form that people keep them in."""

from __future__ import annotations

import inspect
import zipfile
from datetime import date, datetime
from pathlib import Path

import openpyxl
import pytest

from desk.messy_files import open_document
from flow.benches import copy_of_small_bench
from trialpress.bench import Bench
from trialpress.cli import adopt as adopt_command
from trialpress.desk.adopt import Adoption, AdoptionRequest, Mapping, adopt, read_mapping
from trialpress.desk.adopt.mapping_faults import MappingFileError
from trialpress.desk.adopt.spreadsheet import UnreadableSpreadsheetError, read_spreadsheet

SAID = Mapping(
    columns={"at": "Datum", "setup": "Gerät"}, fixed={"protocol": "edges", "dose_by": "reading"}
)


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench(copy_of_small_bench(tmp_path / "bench"))


def understood(bench: Bench, file: Path) -> Adoption:
    return adopt(bench, AdoptionRequest(file, SAID))


def workbook(file: Path) -> Path:
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "Runs"
    sheet.append(["My runs"])
    sheet.append(["Datum", "Gerät", "Dose (g)", "Before (g)", "After (g)"])
    sheet.append([date(2031, 4, 3), "Stick One", 10, 260.1, 261.3])
    sheet.append([datetime(2031, 4, 3, 19, 5), "Stick One", 10.2, 260.1, 261.4])  # noqa: DTZ001
    for cell in (sheet["C3"], sheet["D3"], sheet["E4"]):
        cell.number_format = "0.00"
    book.create_sheet("Other").append(["nothing", "here"])
    book.save(file)
    return file


def test_a_workbook_is_read_with_its_dates_and_its_title_row_passed_over(bench: Bench) -> None:
    adoption = understood(bench, workbook(bench.root / "old.xlsx"))

    assert [sheet.header_row for sheet in adoption.sheets] == [2, None]
    assert [row.cells["at"] for row in adoption.rows] == ["2031-04-03", "2031-04-03T19:05"]


def test_a_number_keeps_the_zeros_that_its_cell_shows(bench: Bench) -> None:
    adoption = understood(bench, workbook(bench.root / "old.xlsx"))

    assert [row.cells["dose_g"] for row in adoption.rows] == ["10.00", "10.2"]
    assert [row.cells["before_g"] for row in adoption.rows] == ["260.10", "260.1"]
    assert [row.cells["after_g"] for row in adoption.rows] == ["261.3", "261.40"]


OPEN_ROWS = (("Datum", "Gerät", "Dose (g)", "Net (g)"), ("2031-04-03", "Stick One", "10", "1.2"))


def test_an_open_document_is_read(bench: Bench) -> None:
    (row,) = understood(bench, open_document(bench.root / "old.ods", OPEN_ROWS, {})).rows

    assert (row.origin.text, row.cells["gain_g"]) == ("sheet Runs, row 2", "1.2")


def test_an_open_document_with_percentages_is_refused_rather_than_read_as_shares(
    bench: Bench,
) -> None:
    file = open_document(bench.root / "old.ods", OPEN_ROWS, {})
    with zipfile.ZipFile(file) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    with zipfile.ZipFile(file, "w") as archive:
        for name, content in parts.items():
            archive.writestr(name, content.replace(b'"string"', b'"percentage"'))

    with pytest.raises(UnreadableSpreadsheetError, match="cells shown as percentages"):
        read_spreadsheet(file)


def test_a_mapping_file_says_all_this(tmp_path: Path) -> None:
    file = tmp_path / "map.toml"
    file.write_text(
        'word = "old"\nheader_row = 2\n[columns]\nat = "Datum"\n[fixed]\nversion = 1\n'
        '[values.setup]\n"Our stick" = "one-stock"\n[units]\nbefore_g = "kg"\n',
        encoding="utf-8",
    )

    assert read_mapping(file) == Mapping(
        word="old",
        header_row=2,
        columns={"at": "Datum"},
        fixed={"version": "1"},
        values={"setup": {"Our stick": "one-stock"}},
        units={"before_g": "kg"},
    )


def test_the_mapping_that_the_help_shows_is_understood(tmp_path: Path) -> None:
    _, _, shown = (inspect.getdoc(adopt_command) or "").partition("\b\n")
    file = tmp_path / "shown.toml"
    file.write_text(shown, encoding="utf-8")

    mapping = read_mapping(file)

    assert (mapping.word, mapping.header_row, mapping.decimal) == ("old", 2, ",")
    assert mapping.values == {"setup": {"Our stick": "stick-stock"}}


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("colums = 1", "no key called colums; is columns meant"),
        ('[columns]\nafter = "x"', "no column in .columns. called after; is after_g meant"),
        ('word = "Two words"', "word takes lower-case"),
        ("[columns", "is no TOML"),
    ],
)
def test_a_mapping_that_is_not_understood_is_refused(text: str, words: str, tmp_path: Path) -> None:
    (tmp_path / "map.toml").write_text(text, encoding="utf-8")

    with pytest.raises(MappingFileError, match=words):
        read_mapping(tmp_path / "map.toml")


def test_a_file_that_is_no_workbook_is_told_in_words(tmp_path: Path) -> None:
    (tmp_path / "old.xlsx").write_bytes(b"no workbook")

    with pytest.raises(UnreadableSpreadsheetError, match="Save it as xlsx, ods or csv"):
        read_spreadsheet(tmp_path / "old.xlsx")


@pytest.mark.parametrize(
    ("encoding", "told"),
    [("utf-8", "UTF-8"), ("utf-8-sig", "UTF-8"), ("utf-16", "UTF-16"), ("cp1252", "most like")],
)
def test_text_is_read_in_its_encoding(encoding: str, told: str, tmp_path: Path) -> None:
    file = tmp_path / "old.csv"
    file.write_text("Datum;Gerät;Bemerkung\n2031-04-03;Stick One;schön\n", encoding=encoding)

    spreadsheet = read_spreadsheet(file)

    assert told in spreadsheet.how
    assert "Gerät" in spreadsheet.sheets[0].rows[0].cells
