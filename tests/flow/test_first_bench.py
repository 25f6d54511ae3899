"""From an empty folder to a published page of six machines, typed into files in any spreadsheet."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from typed import Said, trialpress

TODAY = "1930305600"  # 2031-03-03T12:00:00Z
NAMES = ("tern", "plover", "dunlin", "knot", "ruff", "snipe")
GAINS = (16.4, 15.1, 17.9, 12.2, 14.8, 16.9)


def command(bench: Path, *arguments: str) -> Said:
    done = trialpress(*arguments, folder=bench, SOURCE_DATE_EPOCH=TODAY)
    assert done.returncode == 0, done.stdout + done.stderr
    return done


def row_of(table: str, bench: Path) -> str:
    """The row that the bench's own COLUMNS.md shows for a table of the catalogue."""
    columns = (bench / "COLUMNS.md").read_text("utf-8")
    (row,) = re.findall(
        rf"^data/catalogue/{table}\.csv\n.+\n(.*(?:quorlin|tern).*)$", columns, re.MULTILINE
    )
    return str(row)


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    command(tmp_path, "new", "my-bench")
    return tmp_path / "my-bench"


def test_six_machines_from_an_empty_folder_to_a_published_page(bench: Path, tmp_path: Path) -> None:
    type_catalogue(bench)
    settings = bench / "data" / "bench.toml"
    text = settings.read_text("utf-8").replace("your-bench.example", "plover-hall.example")

    refused = trialpress("publish", "--to-folder", str(tmp_path / "www"), folder=bench,
                         SOURCE_DATE_EPOCH=TODAY)  # fmt: skip
    assert refused.returncode != 0
    settings.write_text(text, encoding="utf-8")
    planned = command(bench, "plan", "--sheet", "2031-03-03-hall").stdout
    type_readings(bench)
    assert command(bench, "check").stdout == "No faults found.\n"
    command(bench, "build")
    command(bench, "publish", "--to-folder", str(tmp_path / "www"), "--yes")

    assert "18 runs" in planned.replace("\N{NO-BREAK SPACE}", " ")
    page = (tmp_path / "www" / "standings" / "sand-on-rug.html").read_text(encoding="utf-8")
    assert all(name.title() in page for name in NAMES)
    assert "89.5" in page  # 17.9 g of 20.0 g, three times
    assert "plover-hall.example" in (tmp_path / "www" / "index.html").read_text(encoding="utf-8")


def type_catalogue(bench: Path) -> None:
    """The example row for each machine, as a spreadsheet would save it: with semicolons."""
    for table in ("makers", "machines", "setups"):
        file = bench / "data" / "catalogue" / f"{table}.csv"
        names = NAMES[:1] if table == "makers" else NAMES
        example = row_of(table, bench)
        rows = [example.replace("tern", name).replace("Tern", name.title()) for name in names]
        lines = [*file.read_text("utf-8").splitlines(), *rows]
        text = "\r\n".join(line.replace(",", ";").replace("true", "TRUE") for line in lines)
        file.write_bytes(f"\ufeff{text}\r\n;;;\r\n".encode() if table != "setups" else
                         f"{text}\r\n".encode())  # fmt: skip


def type_readings(bench: Path) -> None:
    """The planned rows, filled in as if every run of a machine had gone the same."""
    file = bench / "data" / "days" / "2031-03-03-hall" / "weighings.csv"
    header, *rows = file.read_text("utf-8").splitlines()
    columns = header.split(",")
    for i, row in enumerate(rows):
        cells = dict(zip(columns, row.split(","), strict=False))
        number = NAMES.index(cells["setup"].split("-")[0])
        gain = GAINS[number]
        cells |= {"dose_g": "20.0", "before_g": f"{400 + 20 * number + i / 10:.1f}",
                  "after_g": f"{400 + 20 * number + i / 10 + gain:.1f}",
                  "instrument": "balance", "dose_instrument": "balance", "status": "valid",
                  "at": f"2031-03-03T{8 + i // 10:02}:{6 * (i % 10):02}", "note": ""}  # fmt: skip
        rows[i] = ",".join(cells[column] for column in columns)
    file.write_text("\n".join([header, *rows]) + "\n", encoding="utf-8")
