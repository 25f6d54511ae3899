"""Cells and files as spreadsheets write them: what is read, and what stays a finding.

In:  cells of a file, and the small bench saved anew as a spreadsheet would.
Out: the bench's own form of it, every digit kept; never one of two things that it might mean.
"""

from __future__ import annotations

import csv
import io
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.broken import BASE, findings_of, lay_out
from trialpress.bench import TABLES, Bench
from trialpress.intake import FindingCode, read_bench, read_schema
from trialpress.intake.spelling import Doubt, NumberForms, house_form, number_forms

TABLE_FILES = sorted(path.relative_to(BASE).as_posix() for path in BASE.rglob("*.csv"))
HOUSE = NumberForms()


def read(text: str, table: str, column: str, forms: NumberForms = HOUSE) -> str | Doubt:
    return house_form(text, read_schema(table).field(column), forms)


@pytest.mark.parametrize(
    ("column", "text", "meant"),
    [
        ("at", "02.03.2031 19:20", "2031-03-02T19:20"),
        ("at", "2.3.2031 7:05", "2031-03-02T07:05"),
        ("at", "2031-03-02 19:20:30", "2031-03-02T19:20:30"),
        ("at", "2031-03-02T19:20:30", "2031-03-02T19:20:30"),
        ("at", "2031/3/2", "2031-03-02"),
        ("at", "13/03/2031 19:20", "2031-03-13T19:20"),
        ("at", "03/13/2031", "2031-03-13"),
        ("at", "03/03/2031", "2031-03-03"),
        ("status", "Valid", "valid"),
        ("status", "VOID ", "void"),
        ("note", "  two words\u00a0", "two words"),
        ("note", "Valid", "Valid"),
        ("note", " ", ""),
        ("setup", "Tern-3", "Tern-3"),
        ("before_g", " 12.30 ", "12.30"),
    ],
)
def test_what_a_spreadsheet_writes_is_read(column: str, text: str, meant: str) -> None:
    assert read(text, "weighings", column) == meant


@pytest.mark.parametrize("text", ["TRUE", "True", "true ", "tRUE", "WAHR"])
def test_a_truth_is_read_in_any_letters(text: str) -> None:
    assert read(text, "setups", "stock") == "true"


@pytest.mark.parametrize(
    ("text", "one", "other"),
    [
        ("03/04/2031", "2031-03-04", "2031-04-03"),
        ("3-4-2031 19:20", "2031-03-04T19:20", "2031-04-03T19:20"),
    ],
)
def test_a_date_with_two_orders_is_in_doubt(text: str, one: str, other: str) -> None:
    assert read(text, "weighings", "at") == Doubt(text, one, other)


@pytest.mark.parametrize("text", ["31.02.2031", "32/13/2031", "2.3.31", "02.03.2031 25:00", "soon"])
def test_what_is_no_date_stays_as_it_is(text: str) -> None:
    assert read(text, "weighings", "at") == text


@pytest.mark.parametrize(
    ("typed", "delimiter", "meant"),
    [
        (["12,30", "8,5"], ",", ["12.30", "8.5"]),
        (["260,123", "8,5"], ",", ["260.123", "8.5"]),
        (["260,123", "261,456"], ";", ["260.123", "261.456"]),
        (["1.234", "260.123"], ",", ["1.234", "260.123"]),
        (["1.234", "260.123"], ";", ["1.234", "260.123"]),
        (["0,125"], ",", ["0.125"]),
        (["1234,567"], ",", ["1234.567"]),
        (["12.5", "8,5"], ",", ["12.5", "8.5"]),
        (["12.5", "1.234", "8,5"], ",", ["12.5", "1.234", "8.5"]),
        (["1,5e-05"], ";", ["1.5e-05"]),
        (["260,123"], ",", [None]),
        (["12.5", "1,234"], ",", ["12.5", None]),
        (["12.5", "1,234"], ";", ["12.5", None]),
        (["1.234", "8,5"], ";", [None, "8.5"]),
    ],
)
def test_a_mark_in_a_number_is_read_where_its_file_leaves_no_doubt(
    typed: list[str], delimiter: str, meant: list[str | None]
) -> None:
    forms = number_forms(typed, delimiter)

    forms_read = [read(text, "weighings", "before_g", forms) for text in typed]

    assert [None if isinstance(one, Doubt) else one for one in forms_read] == meant


@given(
    st.lists(st.decimals("-900", "9000", places=3) | st.decimals("0", "900", places=2), min_size=1),
    st.sampled_from([",", ";", "\t"]),
    st.sampled_from([",", "."]),
)
def test_no_number_is_ever_read_as_another(
    numbers: list[Decimal], delimiter: str, mark: str
) -> None:
    typed = [f"{number:f}".replace(".", mark) for number in numbers]
    forms = number_forms(typed, delimiter)

    for number, text in zip(numbers, typed, strict=True):
        form = read(text, "weighings", "before_g", forms)
        ways = {form.one, form.other} if isinstance(form, Doubt) else {form}
        assert f"{number:f}" in ways


@given(st.text(), st.sampled_from([(t, c) for t in TABLES for c in read_schema(t).columns]))
def test_what_was_read_once_reads_the_same_again(text: str, place: tuple[str, str]) -> None:
    once = read(text, *place)

    if isinstance(once, str):
        assert read(once, *place) == once


def saved_anew(text: str) -> str:
    """A file as a spreadsheet saves it where decimals have a comma."""
    rows = list(csv.reader(io.StringIO(text, newline="")))
    width = max(map(len, rows)) + 1
    body = [[_typed(cell) for cell in row] for row in rows[1:]]
    buffer = io.StringIO()
    writer = csv.writer(buffer, delimiter=";", lineterminator="\r\n")
    full = [[*row, *[""] * (width - len(row))] for row in [rows[0], *body, [], []]]
    writer.writerows(full)
    return "\ufeff" + buffer.getvalue()


def _typed(cell: str) -> str:
    whole, point, decimals = cell.partition(".")
    if point and whole.isdecimal() and decimals.isdecimal():
        return f"{whole},{decimals}"
    if cell in {"true", "valid"}:
        return cell.capitalize()
    day, _, time = cell.partition("T")
    year, *rest = day.split("-")
    if len(year) == 4 and year.isdecimal() and len(rest) == 2 and rest[1].isdecimal():
        return f"{rest[1]}.{rest[0]}.{year} {time}".strip()
    return cell


def test_a_bench_saved_by_a_spreadsheet_is_the_same_bench(tmp_path: Path) -> None:
    edits = [
        {"file": name, "text": saved_anew((BASE / name).read_text("utf-8"))} for name in TABLE_FILES
    ]
    saved = read_bench(lay_out(edits, tmp_path), None)

    wanted = read_bench(Bench(BASE), None)

    assert saved.findings == wanted.findings
    for table in TABLES:
        assert saved.tables[table] == wanted.tables[table]


@pytest.mark.parametrize("name", TABLE_FILES)
@pytest.mark.parametrize("damage", ["header deleted", "colons"])
def test_a_file_without_a_known_column_gives_a_finding_and_no_other_of_its_own(
    name: str, damage: str, tmp_path: Path
) -> None:
    text = (BASE / name).read_text("utf-8")
    spoilt = text.split("\n", 1)[1] if damage == "header deleted" else text.replace(",", ":")

    findings = findings_of(lay_out([{"file": name, "text": spoilt}], tmp_path))

    code = FindingCode.NO_HEADER if damage == "header deleted" else FindingCode.WRONG_DELIMITER
    assert [finding.code for finding in findings if finding.file == name] == [code]


def test_a_correction_may_be_spelled_either_way(tmp_path: Path) -> None:
    text = (BASE / "data/corrections.csv").read_text("utf-8")
    line = 'c-9,Weighings,hall-01,before_g,10.03.2031,"260,1","259,9",read again\n'
    bench = lay_out([{"file": "data/corrections.csv", "text": text + line}], tmp_path)

    rows = read_bench(bench, None).tables["weighings"].corrected

    assert [row.cells["before_g"] for row in rows if row.key == ("hall-01",)] == ["259.9"]
