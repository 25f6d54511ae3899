"""Five spreadsheets as people keep them, each messy in ways of its own; all of it invented.

In:  a folder.
Out: the file, made anew each time.
"""

from __future__ import annotations

import zipfile
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from pathlib import Path
from xml.sax.saxutils import escape

import openpyxl
from openpyxl.comments import Comment
from openpyxl.styles import Font, PatternFill

YELLOW = PatternFill("solid", fgColor="FFFFE08A")
STRUCK = (
    '<office:automatic-styles><style:style style:name="ce1" style:family="table-cell">'
    '<style:table-cell-properties fo:background-color="#ffe08a"/>'
    '<style:text-properties style:text-line-through-style="solid"/></style:style>'
    "</office:automatic-styles>"
)
NAMES = "urn:oasis:names:tc:opendocument:xmlns"


def merged_headers(folder: Path) -> Path:
    """A title, a header of two rows with merged cells, means between the rows, misspelt names."""
    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    sheet.title = "2031"
    sheet.append(["Bench book, spring"])
    sheet.append(["Date", "Machine", "Dust on a rug", "", "", "Edges", "", "", "Remarks"])
    sheet.append(
        ["", "", "Dose (g)", "Before (g)", "After (g)", "Dose (g)", "Before (g)", "After (g)"]
    )
    rows = (
        (date(2031, 4, 1), "Stik One", 20.1, 260.1, 278.3, 10.1, 260.1, 261.3, ""),
        (date(2031, 4, 1), "Stick One", 19.9, 260.1, 277.9, 10.0, 260.1, 261.5, "new roller"),
        ("", "Mean", 20.0, "", 278.1, "", "", 261.4, ""),
        (),
        (date(2031, 4, 2), "Stick one", 20.0, 260.2, 278.0, "", "", "", ""),
        (date(2031, 4, 2), "Robot Tow", 20.2, 310.0, 325.5, 9.9, 310.0, 313.1, ""),
        (date(2031, 4, 3), "Robot Two", 19.8, 310.1, 325.0, 10.2, 310.1, 313.0, ""),
    )
    for row in rows:
        sheet.append(row)
    for area in ("C2:E2", "F2:H2", "A2:A3", "B2:B3", "A4:A5"):
        sheet.merge_cells(area)
    for cell in (cell for row in sheet["C4:H10"] for cell in row):
        cell.number_format = "0.0"
    sheet["E5"].comment = Comment("balance was restless", "tester")
    sheet["E8"].fill = YELLOW
    sheet["B9"].font = Font(color="FF7A1F5C")
    book.save(folder / "merged.xlsx")
    return folder / "merged.xlsx"


def zones(folder: Path) -> Path:
    """An ods with a column for each zone, kind and number apart, dates in words and said once."""
    rows = (
        ("Stains on boards",),
        (),
        ("Day", "Kind", "No.", "Who", "Left", "Right", "Notes"),
        ("4 April 2031", "Stick", "One", "ann", "0", "1", ""),
        ("", "Stick", "One", "ben", "0", "2", ""),
        ("", "Robot", "Two", "ann", "2", "3", "left a film"),
        ("", "Robot", "Two", "ben", "2", "3", ""),
        (),
        ("05.04.2031", "Stick", "One", "ann", "1", "1", ""),
        ("", "Stick", "One", "ben", "1", "1", ""),
        ("Total", "", "", "", "6", "11", ""),
    )
    return open_document(
        folder / "zones.ods", rows, {(4, 6): "graded in poor light"}, struck=(6, 7)
    )


def runs(folder: Path) -> Path:
    """A German csv in an old encoding: a column for each run, units and commas in the cells."""
    text = (
        "Staub auf dem Teppich;;;;;\n"
        "Datum;Gerät;Lauf 1;Lauf 2;Lauf 3;Bemerkung\n"
        "1.4.2031;Stick One;17,9 g;18,2 g;18,0 g;\n"
        "1.4.2031;Robbi;15,1 g;14,8 g;;Akku leer nach Lauf 2\n"
        ";;;;;\n"
        "2. April 2031;Stick One;18,1 g;17,8 g;18,3 g;\n"
        "Mittel;;17,0 g;16,9 g;18,2 g;\n"
    )
    (folder / "runs.csv").write_bytes(text.encode("cp1252"))
    return folder / "runs.csv"


def results(folder: Path) -> Path:
    """Shares without a mass, as percentages of the workbook; two forms of dates; colours."""
    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    sheet.append(["When", "Vacuum", "Kind of test", "Pick-up %", "Mood"])
    for row in (
        (date(2031, 4, 1), "Stick One", "Dust on rug", 0.91, "fine"),
        ("Apr 2, 2031", "Stick One", "Dust on rug", 0.905, "fine"),
        ("2031/4/2", "Robot Two", "Dust on rug", 0.77, "tired"),
        (),
        ("Average", "", "", 0.86, ""),
        (date(2031, 4, 3), "Robot Two", "Dust on rug", 0.761, ""),
    ):
        sheet.append(row)
    for cell in sheet["D"][1:]:
        cell.number_format = "0.0%"
    sheet["D4"].fill = YELLOW
    book.save(folder / "results.xlsx")
    return folder / "results.xlsx"


def slashes(folder: Path) -> Path:
    """A csv with a column for each method, dates that can be two, and a mode beside the model."""
    text = (
        "Tester: iv,,,,,,\n"
        "Date,Time,Model,Mode,Noise dB(A),Hair hits,Hair tries\n"
        "03/04/2031,19:05,Stick One,high,71.4,28,30\n"
        "03/04/2031,19.30,Stick 1,high,71.2,27,30\n"
        "04/04/2031,20:00,Robot Two,,64.0,19,30\n"
        ",,,,,,\n"
        "04/04/2031,20:20,Robot Two,,63.8,,\n"
        "Total,,,,,74,90\n"
    )
    (folder / "slashes.csv").write_text(text, encoding="utf-8")
    return folder / "slashes.csv"


MESSY: Mapping[str, Callable[[Path], Path]] = {
    "merged": merged_headers,
    "zones": zones,
    "runs": runs,
    "results": results,
    "slashes": slashes,
}


def open_document(
    file: Path,
    rows: Sequence[Sequence[str]],
    comments: Mapping[tuple[int, int], str],
    struck: tuple[int, int] = (0, 0),
) -> Path:
    """The least that is an OpenDocument spreadsheet: 1.3, part 3, 9, 14.1 and 16.2.

    One cell may be struck out on yellow.
    """
    cells = (
        "".join(
            _cell(text, comments.get((r, c), ""), is_struck=(r, c) == struck)
            for c, text in enumerate(row, 1)
        )
        for r, row in enumerate(rows, 1)
    )
    lines = "".join(f"<table:table-row>{row}</table:table-row>" for row in cells)
    content = (
        f'<office:document-content xmlns:office="{NAMES}:office:1.0" '
        f'xmlns:table="{NAMES}:table:1.0" xmlns:text="{NAMES}:text:1.0" '
        f'xmlns:style="{NAMES}:style:1.0" xmlns:fo="{NAMES}:xsl-fo-compatible:1.0" '
        f'office:version="1.3">{STRUCK}'
        "<office:body><office:spreadsheet>"
        f'<table:table table:name="Runs">{lines}</table:table>'
        "</office:spreadsheet></office:body></office:document-content>"
    )
    kind = "application/vnd.oasis.opendocument.spreadsheet"
    manifest = (
        f'<manifest:manifest xmlns:manifest="{NAMES}:manifest:1.0" manifest:version="1.3">'
        f'<manifest:file-entry manifest:full-path="/" manifest:media-type="{kind}"/>'
        '<manifest:file-entry manifest:full-path="content.xml" manifest:media-type="text/xml"/>'
        "</manifest:manifest>"
    )
    with zipfile.ZipFile(file, "w") as archive:
        archive.writestr("mimetype", kind)
        archive.writestr("META-INF/manifest.xml", manifest)
        archive.writestr("content.xml", content)
    return file


def _cell(text: str, comment: str, *, is_struck: bool) -> str:
    note = f"<office:annotation><text:p>{escape(comment)}</text:p></office:annotation>"
    value = f"<text:p>{escape(text)}</text:p>" if text else ""
    kind = ' office:value-type="string"' if text else ""
    kind += ' table:style-name="ce1"' if is_struck else ""
    return f"<table:table-cell{kind}>{note if comment else ''}{value}</table:table-cell>"
