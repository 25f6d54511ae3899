"""Guards for single cells: what a lenient reader would let pass.

In:  cells as somebody might type or paste them.
Out: the finding, or none.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trialpress.intake import FindingCode, read_schema
from trialpress.intake.cells import check_cell
from trialpress.intake.findings import Place
from trialpress.intake.schema_check import check_typed_cell

# ARABIC-INDIC DIGIT THREE and FIVE, FULLWIDTH DIGIT ONE, SUPERSCRIPT TWO, VULGAR FRACTION ONE HALF
DIGITS_ELSEWHERE = ["\u0663.\u0665", "\uff11", "\u00b2", "\u00bd"]
ODD_NUMBERS = [
    *[
        "1_000",
        "1,5",
        "1'000",
        "+5",
        "5.",
        ".5",
        "0x10",
        "1e9999",
        "INF",
        "-inf",
        "Infinity",
        "12g",
        "five",
        "1e5e5",
        "--5",
        "5-",
        "=5",
    ],
    *DIGITS_ELSEWHERE,
    "1 000",
    "1" * 31,
]
LOOKING_BLANK = [
    *["n/a", "N/A", "#N/A", "nan", "NaN", "null", "-", "--", "?", "."],
    *("\u2013", "\u2014"),
    *(" ", "\t", "\n", "\u00a0", "\u2003", "\u200b", "\ufeff", "\u3000 "),
]
ORDINARY = [
    *["a-b", "-5", "na", "naïve", "日本語", "a\u200db", "“quoted”"],
    *("two\nlines", "two\r\nlines", "a\tb", "1 + 1 = 2", "100 %"),
]
RUN_BY_A_SPREADSHEET = ["=1+1", "+cmd", "-2+3", "@x", "\tx", "\rx", "=", "-text", "+49 1"]
HERE = Place("data/x.csv", 2, "x")


def code_of(text: str, table: str, column: str) -> FindingCode | None:
    field = read_schema(table).field(column)
    finding = check_cell(text, field, table, HERE) or check_typed_cell(text, field, table, HERE)
    return finding.code if finding else None


@pytest.mark.parametrize("text", ["0", "-1.5", "260.10", "1e-05", "1E+2", "0.000001", "007"])
def test_plain_numbers_are_numbers(text: str) -> None:
    assert code_of(text, "weighings", "before_g") is None


@pytest.mark.parametrize("text", ODD_NUMBERS)
def test_other_spellings_of_numbers_are_refused(text: str) -> None:
    assert code_of(text, "weighings", "before_g") is FindingCode.CELL_TYPE


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("1000001", FindingCode.CELL_RANGE),
        ("-1000001", FindingCode.CELL_RANGE),
        ("1e30", FindingCode.CELL_RANGE),
        ("NaN", FindingCode.BLANK_LOOKING),
        ("1\u200b", FindingCode.CONTROL_CHARACTER),
        ("\ufeff1", FindingCode.CONTROL_CHARACTER),
    ],
)
def test_numbers_out_of_range_or_with_company_are_refused(text: str, code: FindingCode) -> None:
    assert code_of(text, "weighings", "before_g") is code


@pytest.mark.parametrize("text", LOOKING_BLANK)
@pytest.mark.parametrize("column", ["note", "before_g", "operator", "setup"])
def test_what_looks_blank_is_not_taken_for_an_entry(text: str, column: str) -> None:
    assert code_of(text, "weighings", column) is FindingCode.BLANK_LOOKING


@pytest.mark.parametrize("text", RUN_BY_A_SPREADSHEET)
def test_text_that_a_spreadsheet_would_run_is_refused(text: str) -> None:
    assert code_of(text, "weighings", "note") is FindingCode.FORMULA_TEXT


@pytest.mark.parametrize("text", ORDINARY)
def test_ordinary_text_is_left_alone(text: str) -> None:
    assert code_of(text, "weighings", "note") is None


@pytest.mark.parametrize("text", ["a\x00b", "a\x1bb", "a\u202eb", "a\u200bb", "a\u2028b", "a\x85b"])
def test_characters_nobody_can_see_are_refused(text: str) -> None:
    assert code_of(text, "weighings", "note") is FindingCode.CONTROL_CHARACTER


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("2031-03-02", None),
        ("2031-03-02T19:05", None),
        ("2031-03-02T19:05:59", None),
        ("2031-02-29", FindingCode.DATE_IMPOSSIBLE),
        ("2031-13-01", FindingCode.DATE_IMPOSSIBLE),
        ("2031-04-31T10:00", FindingCode.DATE_IMPOSSIBLE),
        ("2031-3-2", FindingCode.CELL_PATTERN),
        ("2031-03-02 19:05", FindingCode.CELL_PATTERN),
        ("2031-03-02T24:00", FindingCode.CELL_PATTERN),
        ("2031-03-02T19", FindingCode.CELL_PATTERN),
        ("2031-03-02T19:05Z", FindingCode.CELL_PATTERN),
        ("2031-03-02T19:05+01:00", FindingCode.CELL_PATTERN),
        ("2031-W09-7", FindingCode.CELL_PATTERN),
        ("20310302", FindingCode.CELL_PATTERN),
    ],
)
def test_times_are_local_and_in_one_spelling(text: str, code: FindingCode | None) -> None:
    assert code_of(text, "weighings", "at") is code


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("2031-03-02", None),
        ("2024-1-5", FindingCode.CELL_TYPE),
        ("02.03.2031", FindingCode.CELL_TYPE),
        ("2031-03-02T10:00", FindingCode.CELL_TYPE),
        ("2031-02-30", FindingCode.DATE_IMPOSSIBLE),
        ("0231-03-02", FindingCode.CELL_RANGE),
    ],
)
def test_dates_are_in_one_spelling(text: str, code: FindingCode | None) -> None:
    assert code_of(text, "floors", "laid_on") is code


@pytest.mark.parametrize("text", ["A", "a_b", "a b", "-a", "a-", "a--b", "é", "a.b", "a/b", "a|b"])
def test_names_are_slugs(text: str) -> None:
    assert code_of(text, "weighings", "setup") in {
        FindingCode.CELL_PATTERN,
        FindingCode.FORMULA_TEXT,
    }


@pytest.mark.parametrize(
    ("text", "table", "column", "code"),
    [
        ("index", "machines", "machine", FindingCode.NAME_RESERVED),
        ("con", "makers", "maker", FindingCode.NAME_RESERVED),
        ("pickup-v2", "protocols", "protocol", FindingCode.NAME_RESERVED),
        ("index", "weighings", "setup", None),
        ("pickup-v2", "weighings", "protocol", None),
        ("model-v2", "machines", "machine", None),
        ("EUR", "machines", "currency", None),
        ("EUX", "machines", "currency", FindingCode.CURRENCY_UNKNOWN),
        ("true", "setups", "stock", None),
        ("True", "setups", "stock", FindingCode.CELL_TYPE),
        ("1", "setups", "stock", FindingCode.CELL_TYPE),
        ("01", "counts", "hits", FindingCode.CELL_TYPE),
        ("-1", "counts", "hits", FindingCode.CELL_RANGE),
        ("0", "counts", "tries", FindingCode.CELL_RANGE),
        ("5", "gradings", "grade", FindingCode.CELL_RANGE),
        ("https://x.example/a?b=c#d", "makers", "website", None),
        ("ftp://x.example/", "makers", "website", FindingCode.CELL_PATTERN),
        ('https://x.example/"onload=', "makers", "website", FindingCode.CELL_PATTERN),
        ("-0.2", "corrections", "now", None),
        ("x" * 2001, "makers", "name", FindingCode.CELL_LENGTH),
    ],
)
def test_columns_with_a_meaning_of_their_own(
    text: str, table: str, column: str, code: FindingCode | None
) -> None:
    assert code_of(text, table, column) is code


@given(st.text(min_size=1), st.sampled_from(["before_g", "note", "setup", "at", "replicate"]))
def test_any_text_is_accepted_or_refused_but_never_an_accident(text: str, column: str) -> None:
    code = code_of(text, "weighings", column)

    assert code is None or code in FindingCode
    if code is None and column == "before_g":
        assert -1_000_000 <= float(text) <= 1_000_000
