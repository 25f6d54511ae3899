"""Reading files as people save them: encodings, line ends, quotes, and things that are no files.

In:  bytes of one table's file.
Out: its rows with the numbers a spreadsheet shows, or findings; never a traceback.
"""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from examples import examples
from intake.broken import BASE, findings_of, lay_out
from trialpress.bench import Bench
from trialpress.intake import FaultyBenchError, FindingCode, read_bench
from trialpress.intake.folder import TableFile
from trialpress.intake.table_file import Contents, read_table_file

HEADER = "soil,name,material\n"
TYPED_FILES = sorted(
    path.relative_to(BASE).as_posix() for path in BASE.rglob("*") if path.is_file()
)


def read(data: bytes, folder: Path) -> Contents:
    path = folder / "soils.csv"
    path.write_bytes(data)
    return read_table_file(TableFile(path, "data/catalogue/soils.csv", "soils"))


def codes(contents: Contents) -> list[FindingCode]:
    return [finding.code for finding in contents.findings]


@pytest.mark.parametrize("line_end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_line_ends_and_a_byte_order_mark_make_no_difference(
    line_end: str, mark: str, tmp_path: Path
) -> None:
    text = mark + HEADER + "dust,Fine dust,quartz\nhair,Long hair,hair\n"

    contents = read(text.replace("\n", line_end).encode(), tmp_path)

    assert contents.findings == ()
    assert [(row.number, row.cells["soil"]) for row in contents.rows] == [(2, "dust"), (3, "hair")]


def test_a_last_line_without_an_end_counts(tmp_path: Path) -> None:
    contents = read((HEADER + "dust,Fine dust,quartz").encode(), tmp_path)

    assert [row.number for row in contents.rows] == [2]


def test_a_line_break_in_quotes_moves_no_row(tmp_path: Path) -> None:
    text = HEADER + 'dust,"Fine\n\ndust\nindeed",quartz\nhair,Long hair,hair\n'

    contents = read(text.encode(), tmp_path)

    assert [(row.number, row.cells["soil"]) for row in contents.rows] == [(2, "dust"), (3, "hair")]


def test_only_a_header_is_a_table_without_rows(tmp_path: Path) -> None:
    assert read(HEADER.encode(), tmp_path) == Contents(
        (), frozenset({"grade", "standard", "hazard"}), is_whole=True, findings=()
    )


def test_columns_may_stand_in_any_order(tmp_path: Path) -> None:
    contents = read(b"material,soil,name\nquartz,dust,Fine dust\n", tmp_path)

    assert contents.findings == ()
    assert contents.rows[0].cells["material"] == "quartz"


def test_a_catalogue_file_in_another_encoding_takes_no_rows_of_the_days_with_it(
    tmp_path: Path,
) -> None:
    path = BASE / "data/catalogue/setups.csv"
    text = path.read_text("utf-8").replace("as unboxed,high", "frisch ausgepäckt,high")
    bench = lay_out(
        [{"file": "data/catalogue/setups.csv", "hex": text.encode("latin-1").hex()}], tmp_path
    )

    assert [finding.code for finding in findings_of(bench)] == [FindingCode.NOT_UTF8]


@pytest.mark.parametrize(
    "name", ["data/catalogue/setups.csv", "data/days/2031-03-02-hall/weighings.csv"]
)
def test_what_a_lost_file_hides_is_not_told_as_missing(name: str, tmp_path: Path) -> None:
    """Photos, corrections and other tables refer to rows of both files."""
    misnamed = lay_out([{"file": name, "rename": "setup.csv"}], tmp_path / "misnamed")
    unreadable = lay_out(
        [{"file": name, "delete": True}, {"file": name, "folder": True}], tmp_path / "unreadable"
    )

    assert [finding.code for finding in findings_of(misnamed)] == [FindingCode.FILE_UNKNOWN]
    assert [finding.code for finding in findings_of(unreadable)] == [FindingCode.FILE_UNREADABLE]


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", FindingCode.NO_HEADER),
        (b"\xef\xbb\xbf", FindingCode.NO_HEADER),
        (b"\x00", FindingCode.NO_HEADER),
        (b"\n", FindingCode.NO_HEADER),
        (b"soil,name,material\ndust,\xff,quartz\n", FindingCode.NOT_UTF8),
        (HEADER.encode("utf-16-be"), FindingCode.COLUMN_UNKNOWN),
        (HEADER.encode("utf-16"), FindingCode.NOT_UTF8),
        (b'soil,name,material\ndust,"a"b,c\n', FindingCode.BROKEN_QUOTES),
        (b'soil,name,material\ndust,"a', FindingCode.BROKEN_QUOTES),
        (b"soil:name:material\n", FindingCode.WRONG_DELIMITER),
        (b"soil|name|material\n", FindingCode.WRONG_DELIMITER),
        (b"x" * 300_000, FindingCode.NO_HEADER),
    ],
)
def test_odd_files_give_a_finding(data: bytes, code: FindingCode, tmp_path: Path) -> None:
    assert code in codes(read(data, tmp_path))


def test_a_row_that_only_an_unknown_column_fills_is_told_by_that_column(tmp_path: Path) -> None:
    bench = lay_out(
        [{"file": "data/catalogue/soils.csv", "text": "soil,name,material,xyz\n,,,7\n"}],
        tmp_path,
    )

    assert FindingCode.COLUMN_UNKNOWN in {finding.code for finding in findings_of(bench)}


def test_a_very_long_cell_is_told_in_short(tmp_path: Path) -> None:
    bench = lay_out(
        [
            {
                "file": "data/catalogue/soils.csv",
                "text": f"{HEADER}dust,{'x' * 300_000},quartz\n",
            }
        ],
        tmp_path,
    )

    (finding,) = findings_of(bench)

    assert finding.code is FindingCode.CELL_LENGTH
    assert len(finding.text) < 300


def test_control_characters_do_not_reach_the_terminal(tmp_path: Path) -> None:
    bench = lay_out(
        [{"file": "data/catalogue/makers.csv", "old": "Maker Two", "new": "\x1b[31mred\x07"}],
        tmp_path,
    )

    (finding,) = findings_of(bench)

    assert all(char.isprintable() or char == "\n" for char in finding.text)
    assert finding.value == "\x1b[31mred\x07"


def test_hidden_files_are_nobody_s_business(tmp_path: Path) -> None:
    bench = lay_out(
        [
            {"file": "data/catalogue/.~lock.makers.csv", "text": "x"},
            {"file": "data/days/.cache/values.csv", "text": "x"},
            {"file": "data/days/2031-03-02-hall/thoughts.txt", "text": "x"},
            {"file": "data/catalogue/methods/._hair.md", "text": "x"},
        ],
        tmp_path,
    )

    assert findings_of(bench) == ()


def test_a_link_to_nowhere_is_told(tmp_path: Path) -> None:
    bench = lay_out([], tmp_path)
    (bench.catalogue / "claims.csv").unlink()
    (bench.catalogue / "claims.csv").symlink_to(tmp_path / "gone.csv")

    (finding,) = findings_of(bench)

    assert finding.code is FindingCode.FILE_UNREADABLE


@pytest.mark.parametrize("name", TYPED_FILES)
def test_a_folder_in_place_of_any_file_gives_a_finding(name: str, tmp_path: Path) -> None:
    bench = lay_out([{"file": name, "delete": True}, {"file": name, "folder": True}], tmp_path)

    assert findings_of(bench)


@pytest.mark.parametrize("name", ["data", "data/catalogue", "data/catalogue/methods", "data/days"])
def test_a_file_in_place_of_a_folder_gives_a_finding(name: str, tmp_path: Path) -> None:
    bench = lay_out([], tmp_path)
    shutil.rmtree(tmp_path / name)
    (tmp_path / name).write_text("x", encoding="utf-8")

    findings = findings_of(bench)

    assert (FindingCode.FILE_UNREADABLE, name) in {(item.code, item.file) for item in findings}


def test_an_empty_folder_is_no_bench(tmp_path: Path) -> None:
    with pytest.raises(FaultyBenchError) as caught:
        read_bench(Bench(tmp_path), None)

    assert [finding.code for finding in caught.value.findings] == [FindingCode.FILE_MISSING]
    assert "data/bench.toml: is not there" in str(caught.value)


@settings(max_examples=examples(60), suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.binary(max_size=200))
def test_no_bytes_make_reading_fail(data: bytes, tmp_path: Path) -> None:
    contents = read(data, tmp_path)

    assert contents.findings or contents.is_whole


@settings(
    max_examples=examples(40),
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(data=st.data())
def test_no_damage_to_a_file_makes_the_check_fail(
    data: st.DataObject, tmp_path_factory: pytest.TempPathFactory
) -> None:
    name = data.draw(st.sampled_from(TYPED_FILES))
    whole = (BASE / name).read_bytes()
    start = data.draw(st.integers(0, len(whole)))
    end = data.draw(st.integers(start, min(len(whole), start + 20)))
    junk = data.draw(st.binary(max_size=8) | st.text(max_size=8).map(str.encode))
    damaged = whole[:start] + junk + whole[end:]

    findings_of(lay_out([{"file": name, "hex": damaged.hex()}], tmp_path_factory.mktemp("damaged")))
