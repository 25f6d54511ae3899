"""Spreadsheets made to do harm, or broken in a way that does, are refused in words."""

from __future__ import annotations

import os
import time
import zipfile
from collections.abc import Callable
from pathlib import Path

import openpyxl
import pytest

from trialpress.desk.adopt import limits, read_mapping
from trialpress.desk.adopt.limits import BEYOND, NotUnderstoodError, call_within_limits
from trialpress.desk.adopt.mapping_faults import MappingFileError
from trialpress.desk.adopt.spreadsheet import (
    NoSuchSpreadsheetError,
    UnreadableSpreadsheetError,
    read_spreadsheet,
)

ODS_TYPE = "application/vnd.oasis.opendocument.spreadsheet"


def with_a_far_cell(file: Path) -> None:
    book = openpyxl.Workbook()
    book.worksheets[0]["XFD1048576"] = 1
    book.save(file)


def with_entities_of_entities(file: Path) -> None:
    """Ten entities of ten each, ten deep (CWE-776)."""
    entities = "".join(f'<!ENTITY e{n + 1} "{f"&e{n};" * 10}">' for n in range(9))
    text = f'<!DOCTYPE x [<!ENTITY e0 "{"x" * 1000}">{entities}]><office>&e9;</office>'
    with zipfile.ZipFile(file, "w") as archive:
        archive.writestr("mimetype", ODS_TYPE)
        archive.writestr("content.xml", text)


def with_a_sheet_that_unpacks_to_a_lot(file: Path) -> None:
    with_a_far_cell(file)
    with zipfile.ZipFile(file, "a", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/media/one.bin", bytes(2**28))


def with_many_parts(file: Path) -> None:
    with zipfile.ZipFile(file, "w") as archive:
        for number in range(3000):
            archive.writestr(f"xl/{number}", "")


def with_repeated_cells(file: Path) -> None:
    """An open document may say that a cell stands there two thousand million times."""
    row = '<table:table-row table:number-rows-repeated="1048576"><table:table-cell '
    text = (
        '<office:document-content xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" '
        'xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0"><office:body>'
        f'<office:spreadsheet><table:table table:name="a">{row}office:value-type="float" '
        'office:value="1" table:number-columns-repeated="16384"/></table:table-row></table:table>'
        "</office:spreadsheet></office:body></office:document-content>"
    )
    with zipfile.ZipFile(file, "w") as archive:
        archive.writestr("mimetype", ODS_TYPE)
        archive.writestr("content.xml", text)


@pytest.mark.parametrize(
    ("suffix", "make"),
    [
        ("xlsx", with_a_far_cell),
        ("ods", with_entities_of_entities),
        ("xlsx", with_a_sheet_that_unpacks_to_a_lot),
        ("xlsx", with_many_parts),
        ("ods", with_repeated_cells),
    ],
)
def test_a_workbook_that_does_harm_is_refused_in_words(
    suffix: str, make: Callable[[Path], None], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(limits, "MOST_CPU_S", 1)
    file = tmp_path / f"old.{suffix}"
    make(file)

    with pytest.raises(UnreadableSpreadsheetError, match="cannot be read"):
        read_spreadsheet(file)


def test_a_pipe_is_no_spreadsheet_and_no_mapping(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "old.csv")

    with pytest.raises(NoSuchSpreadsheetError, match="it is no ordinary file"):
        read_spreadsheet(tmp_path / "old.csv")
    with pytest.raises(MappingFileError, match="it is no ordinary file"):
        read_mapping(tmp_path / "old.csv")


def test_a_mapping_of_a_thousand_tables_in_each_other_is_refused(tmp_path: Path) -> None:
    (tmp_path / "map.toml").write_text(f"a = {'[' * 5000}", encoding="utf-8")

    with pytest.raises(MappingFileError, match="is no TOML"):
        read_mapping(tmp_path / "map.toml")


@pytest.mark.parametrize("function", [bytearray, bytes])
def test_what_takes_too_much_memory_is_given_up(function: Callable[[int], object]) -> None:
    with pytest.raises(NotUnderstoodError, match=BEYOND[:30]):
        call_within_limits(function, 2**31)


def test_what_never_ends_is_given_up(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(limits, "PATIENCE_S", 0.2)

    with pytest.raises(NotUnderstoodError, match=BEYOND[:30]):
        call_within_limits(time.sleep, 60)


def test_what_a_library_says_of_its_failure_is_handed_on() -> None:
    assert call_within_limits(int, "12") == 12
    with pytest.raises(NotUnderstoodError, match="invalid literal for int"):
        call_within_limits(int, "twelve")
