"""Damage done to a bench folder at random: what disks, programs, people and attackers do to files.

In:  a bench folder that is fine, and a random generator.
Out: the folder with one to three things wrong, and what they are.
"""

from __future__ import annotations

import csv
import hashlib
import io
import os
import shutil
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

from trialpress.ordinary_file import MOST_BYTES

NUMBERS = (
    "1e308",
    "-1e309",
    "1e-400",
    "9" * 400,
    "NaN",
    "sNaN",
    "Infinity",
    "-0",
    "0x1F",
    "٣",
    "1_000",
)
DATES = ("9999-12-31", "0001-01-01", "2031-02-30", "2031-13-01", "2031-03-02T25:00", "31.02.2031")
TEXTS = (
    "",
    " ",
    "\x00",
    "\x1b[2J\x1b]0;x\x07",
    "\u202egnp.exe",
    "\ufeff",
    "=cmd|' /C calc'!A0",
    "</script><script>alert(1)</script>",
    "{{ 7 * 7 }}{% raw %}",
    "../../../../etc/passwd",
    "C:\\Windows\\x",
    "file:///etc/passwd",
    "'; drop table runs; --",
    "%s%n%(x)s",
    "a|b|c",
    "\U0001f9f9" * 50,
    "x" * 1_000_000,
    "e\u0301" * 300,
    "aux",
    "index",
)
LINKS = ("/proc/version", "/dev/zero", "..", "../bench.toml", "nowhere", "/proc/self/environ")


@dataclass
class Damage:
    """Does damage in one folder; ``done`` says what, in order."""

    root: Path
    random: Random
    done: list[str] = field(default_factory=list)

    def do(self) -> None:
        """Do one thing to one file."""
        files = sorted(path for path in self.root.rglob("*") if _can_be_damaged(path))
        if not files:
            return
        file = self.random.choice(files)
        kinds = (BYTES, TABLES, FILES) if file.suffix == ".csv" else (BYTES, FILES)
        ways = {name: way for kind in kinds for name, way in kind.items()}
        name = self.random.choice(sorted(ways))
        self.done.append(f"{name}: {file.relative_to(self.root)}")
        ways[name](file, self.random)


def _can_be_damaged(path: Path) -> bool:
    """Whether it is a file that a bench would read: what is larger is refused unread."""
    return path.is_file() and not path.is_symlink() and path.stat().st_size <= MOST_BYTES


def damaged(root: Path, random: Random) -> Damage:
    """Do one to three things to a folder."""
    damage = Damage(root, random)
    for _ in range(random.randint(1, 3)):
        damage.do()
    return damage


def digests_below(root: Path) -> Mapping[str, str]:
    """What every file in a folder holds, by its path; what is no ordinary file by its kind."""
    return {
        os.fsencode(path.relative_to(root)).hex(): (
            _digest(path)
            if path.is_file() and not path.is_symlink()
            else f"{path.is_symlink()} {path.is_dir()}"
        )
        for path in sorted(root.rglob("*"))
    }


def _digest(file: Path) -> str:
    with file.open("rb") as opened:
        return hashlib.sha256(opened.read(2**20)).hexdigest() + str(file.stat().st_size)


def _rewritten(change: Callable[[bytes, Random], bytes]) -> Callable[[Path, Random], None]:
    return lambda file, random: _write(file, change(file.read_bytes(), random))


def _write(file: Path, data: bytes) -> None:
    file.write_bytes(data)


def _with_noise(data: bytes, random: Random) -> bytes:
    start = random.randint(0, len(data))
    return (
        data[:start] + random.randbytes(random.randint(1, 9)) + data[start + random.randint(0, 9) :]
    )


def _recoded(data: bytes, random: Random) -> bytes:
    text = data.decode("utf-8", "replace")
    return text.encode(random.choice(("utf-16", "utf-8-sig", "cp1252", "utf-32")), "replace")


def _with_other_breaks(data: bytes, random: Random) -> bytes:
    ends = (b"\r", b"\r\n", b"\n\n", "\u2028".encode(), b"\n\x00")
    return data.replace(b"\n", random.choice(ends))


def _with_odd_character(data: bytes, random: Random) -> bytes:
    start = random.randint(0, len(data))
    return data[:start] + random.choice((*TEXTS, '"', "'", "\\", "[")).encode() + data[start:]


BYTES: Mapping[str, Callable[[Path, Random], None]] = {
    "noise": _rewritten(_with_noise),
    "cut off": _rewritten(lambda data, random: data[: random.randint(0, len(data))]),
    "doubled": _rewritten(lambda data, _: data + data),
    "noughts": _rewritten(lambda data, _: bytes(len(data))),
    "recoded": _rewritten(_recoded),
    "line ends": _rewritten(_with_other_breaks),
    "odd text": _rewritten(_with_odd_character),
    "deep": _rewritten(lambda data, _: data + b"[" * 20_000),
}


def _in_cells(change: Callable[[list[list[str]], Random], None]) -> Callable[[Path, Random], None]:
    def rewrite(file: Path, random: Random) -> None:
        rows = list(csv.reader(io.StringIO(file.read_text("utf-8", "replace").replace("\x00", ""))))
        if rows and rows[0]:
            change(rows, random)
        written = io.StringIO()
        csv.writer(written, lineterminator="\n").writerows(rows)
        file.write_text(written.getvalue(), "utf-8", "replace")

    return rewrite


def _set_cell(rows: list[list[str]], random: Random) -> None:
    row = random.choice(rows)
    if row:
        row[random.randrange(len(row))] = random.choice((*NUMBERS, *DATES, *TEXTS))


def _copy_cell(rows: list[list[str]], random: Random) -> None:
    one, other = random.choice(rows[1:] or rows), random.choice(rows[1:] or rows)
    if one and other:
        i = random.randrange(min(len(one), len(other)))
        one[i] = other[i]


def _swap_columns(rows: list[list[str]], random: Random) -> None:
    one, other = random.randrange(len(rows[0])), random.randrange(len(rows[0]))
    for row in rows[random.randint(0, 1) :]:
        if max(one, other) < len(row):
            row[one], row[other] = row[other], row[one]


def _drop_column(rows: list[list[str]], random: Random) -> None:
    gone = random.randrange(len(rows[0]))
    for row in rows:
        del row[gone : gone + 1]


def _widen(rows: list[list[str]], random: Random) -> None:
    for row in rows:
        row.extend([random.choice(("", "x"))] * random.choice((1, 3, 2000)))


def _repeat_row(rows: list[list[str]], random: Random) -> None:
    longest = 1 + max(sum(map(len, row)) for row in rows)
    fewer = MOST_BYTES // longest  # what is larger is refused unread
    rows += [list(random.choice(rows)) for _ in range(min(random.choice((1, 2, 500)), fewer))]


def _drop_row(rows: list[list[str]], random: Random) -> None:
    del rows[random.randrange(len(rows))]


TABLES: Mapping[str, Callable[[Path, Random], None]] = {
    "cell": _in_cells(_set_cell),
    "cell again": _in_cells(_set_cell),
    "cell of another row": _in_cells(_copy_cell),
    "columns swapped": _in_cells(_swap_columns),
    "column gone": _in_cells(_drop_column),
    "columns too many": _in_cells(_widen),
    "rows repeated": _in_cells(_repeat_row),
    "row gone": _in_cells(_drop_row),
}


def _replace_by(make: Callable[[Path, Random], None]) -> Callable[[Path, Random], None]:
    def replace(file: Path, random: Random) -> None:
        file.unlink()
        make(file, random)

    return replace


def _rename(file: Path, random: Random) -> None:
    names = (file.name.upper(), f"{file.name}~", f" {file.name}", os.fsdecode(b"\xff\xfe.csv"))
    file.rename(file.with_name(random.choice(names)))


def _rename_folder(file: Path, random: Random) -> None:
    names = ("2031-02-30-hall", "2031-03-02", os.fsdecode(b"2031-03-02-\xff"), "x" * 200)
    target = file.parent.with_name(random.choice(names))
    if not target.exists():
        file.parent.rename(target)


def _link_round(file: Path, random: Random) -> None:
    link = file.with_name(f"round-{random.randrange(10**9)}")
    link.symlink_to(file.parent)


FILES: Mapping[str, Callable[[Path, Random], None]] = {
    "gone": lambda file, _: file.unlink(),
    "renamed": _rename,
    "folder renamed": _rename_folder,
    "copied beside": lambda file, _: _write(file.with_name(f"copy-{file.name}"), file.read_bytes()),
    "a folder": _replace_by(lambda file, _: file.mkdir()),
    "a pipe": _replace_by(lambda file, _: os.mkfifo(file)),
    "a link": _replace_by(lambda file, random: file.symlink_to(random.choice(LINKS))),
    "a link in circles": _link_round,
    "endless": lambda file, _: os.truncate(file, 2**27),
    "folder gone": lambda file, _: shutil.rmtree(file.parent),
}
