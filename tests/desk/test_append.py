"""Rows appended to a file, whatever the file looks like and whenever the power goes."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trialpress.desk.append import (
    NoSuchColumnError,
    UnreadableTableError,
    append_rows,
    cell_texts,
    read_table_text,
    record_text,
)
from trialpress.desk.replacing import NotKeptError
from trialpress.intake.textfile import split_rows

COLUMNS = ("run", "value", "note")


def test_a_row_goes_after_the_others_and_every_other_byte_stays(tmp_path: Path) -> None:
    file = tmp_path / "values.csv"
    before = b'\xef\xbb\xbfrun,note,value\r\na,"two\r\nlines",1.50\r\n'
    file.write_bytes(before + b",,\r\n\r\n")  # blank rows at the end give way

    append_rows(file, COLUMNS, [{"run": "b", "value": "2.0", "note": 'a "b", c'}])

    assert file.read_bytes() == before + b'b,"a ""b"", c",2.0\r\n'


def test_a_last_line_without_an_end_is_ended_first(tmp_path: Path) -> None:
    file = tmp_path / "values.csv"
    file.write_bytes(b"run,value\na,1")

    append_rows(file, COLUMNS, [{"run": "b", "value": "2"}])

    assert file.read_bytes() == b"run,value\na,1\nb,2\n"


def test_a_file_that_is_not_there_is_started_with_its_folder_and_header(tmp_path: Path) -> None:
    file = tmp_path / "days" / "2031-03-16-hall" / "values.csv"

    append_rows(file, COLUMNS, [{"run": "a", "value": "1"}])

    assert file.read_bytes() == b"run,value,note\na,1,\n"


def test_a_value_without_a_column_is_refused_and_the_file_stays(tmp_path: Path) -> None:
    file = tmp_path / "values.csv"
    file.write_bytes(b"run,value\n")

    with pytest.raises(NoSuchColumnError, match="has no column note, so loud cannot be written"):
        append_rows(file, COLUMNS, [{"run": "a", "note": "loud"}])

    assert file.read_bytes() == b"run,value\n"


@pytest.mark.parametrize(
    ("content", "words"),
    [(b"", "no header"), (b"run,\xff\n", "not UTF-8"), (b'run\n"a', "quotes of row 2")],
)
def test_what_is_no_table_is_refused_in_words(content: bytes, words: str, tmp_path: Path) -> None:
    file = tmp_path / "values.csv"
    file.write_bytes(content)

    with pytest.raises(UnreadableTableError, match=words):
        append_rows(file, COLUMNS, [{"run": "a"}])

    assert file.read_bytes() == content


def test_a_disk_that_refuses_is_told_and_the_file_stays(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "values.csv"
    file.write_bytes(b"run,value\n")
    monkeypatch.setattr("secrets.token_hex", lambda _: "guessed")
    (tmp_path / ".values.csv.guessed.new").mkdir()

    with pytest.raises(NotKeptError, match="It is as it was"):
        append_rows(file, COLUMNS, [{"run": "a"}])

    assert file.read_bytes() == b"run,value\n"


def test_permissions_and_links_are_kept(tmp_path: Path) -> None:
    real = tmp_path / "elsewhere.csv"
    real.write_bytes(b"run\n")
    real.chmod(0o640)
    (tmp_path / "values.csv").symlink_to(real)

    append_rows(tmp_path / "values.csv", COLUMNS, [{"run": "a"}])

    assert (tmp_path / "values.csv").is_symlink()
    assert real.read_bytes() == b"run\na\n"
    assert real.stat().st_mode & 0o777 == 0o640


CELL = st.text(st.characters(codec="utf-8", exclude_characters="\0"), max_size=8)


@given(st.lists(st.lists(CELL, min_size=3, max_size=3), min_size=1, max_size=5))
def test_any_text_comes_back_as_it_was_written(
    tmp_path_factory: pytest.TempPathFactory, rows: list[list[str]]
) -> None:
    file = tmp_path_factory.mktemp("any") / "values.csv"

    append_rows(file, COLUMNS, [dict(zip(COLUMNS, row, strict=True)) for row in rows])

    text = file.read_bytes().decode("utf-8")
    assert list(split_rows(text, strict=True)) == [list(COLUMNS), *rows]
    table = read_table_text(file)
    assert table is not None
    assert "".join(table.texts) == text
    assert text.startswith(record_text(COLUMNS, "\n"))


@given(
    cells=st.lists(st.text('a",;\r\n '), min_size=2, max_size=4), delimiter=st.sampled_from(",;")
)
def test_the_cells_of_a_record_are_found_as_they_stand(cells: list[str], delimiter: str) -> None:
    text = record_text(cells, "", delimiter)

    parts = cell_texts(text, delimiter)

    assert delimiter.join(parts) == text
    (read,) = split_rows(text, delimiter=delimiter, strict=True)  # as Python's csv splits it
    found = [next(csv.reader([part], delimiter=delimiter, strict=True), []) for part in parts]
    assert [cells or [""] for cells in found] == [[cell] for cell in read]
