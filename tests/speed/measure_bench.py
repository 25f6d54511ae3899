"""What the tool costs beside the plain script, on benches of several sizes; a measurement.

In:  numbers of machines (default: 36, 100 and 300; 1,000 takes long and much memory).
Out: CPU seconds, ratios, exponents, memory and size of the site, on standard output; with
     ``--keep`` also as the table of ``BENCH.md``.

Run as ``make bench``, or ``.venv/bin/python tests/speed/measure_bench.py 36``. Seconds are of the
processor, all processes of a command together, so that other work on the machine matters little;
only the ratios mean the same on any machine.
"""

from __future__ import annotations

import argparse
import math
import os
import platform
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from tempfile import TemporaryDirectory, TemporaryFile

sys.path.insert(0, str(Path(__file__).parents[1]))

from speed.seeded_bench import PROTOCOLS, Size, write_bench

CHECKOUT = Path(__file__).parents[2]
SCRIPT = Path(__file__).with_name("plain_script.py")
TABLE = Path(__file__).with_name("BENCH.md")
START, END = "<!-- figures -->\n", "<!-- end of figures -->\n"
AS_OF = "2030-01-01"
MANY_ROWS = Size(200, 30)
"""A bench of a hundred thousand rows, which only has its files checked."""

CALIBRATION_STEPS = 4_000_000
SAMPLED_EVERY_S = 0.2


@dataclass(frozen=True)
class Cost:
    """Processor time of a command with all its processes, and the most memory they held at once."""

    cpu_s: float
    peak_mb: float


@dataclass(frozen=True)
class Measured:
    """One bench: every command, and what was written."""

    machines: int
    rows: dict[str, Cost]
    site_mb: float
    pages: int
    plain_pages: int


class CommandFailedError(RuntimeError):
    """A command that is measured did not do what it is for."""


def calibration_s() -> float:
    """CPU seconds of a fixed piece of work, to compare machines by."""
    start = time.process_time()
    total = 0
    for number in range(CALIBRATION_STEPS):
        total += number & 3
    return time.process_time() - start


def cost_of(*command: str | Path, cache: Path) -> Cost:
    """Run a command of this checkout and see what it costs."""
    arguments = [sys.executable, *map(str, command)]
    environment = {
        **os.environ,
        "OPENBLAS_NUM_THREADS": "1",
        "PYTHONPATH": str(CHECKOUT / "pipeline"),  # not what may be installed from elsewhere
        "XDG_CACHE_HOME": str(cache),
    }
    environment.pop("PYTHONDONTWRITEBYTECODE", None)  # every process would compile all anew
    peak = 0.0
    with TemporaryFile() as said:
        process = subprocess.Popen(
            arguments,
            cwd=CHECKOUT,
            env=environment,
            stdout=subprocess.DEVNULL,
            stderr=said,
            start_new_session=True,
        )
        while process.returncode is None:
            peak = max(peak, _held_mb(process.pid))
            done, status, used = os.wait4(process.pid, os.WNOHANG)
            if done:
                process.returncode = os.waitstatus_to_exitcode(status)
                break
            time.sleep(SAMPLED_EVERY_S)
        if process.returncode:
            said.seek(0)
            raise CommandFailedError(arguments, said.read())
    return Cost(used.ru_utime + used.ru_stime, max(peak, used.ru_maxrss / 1024))


def _held_mb(session: int) -> float:
    """Memory of every process of a session, from Linux's lists; 0 elsewhere."""
    pages = 0
    for entry in Path("/proc").glob("[0-9]*"):
        try:
            if os.getsid(int(entry.name)) == session:
                pages += int((entry / "statm").read_text().split()[1])
        except (OSError, ValueError):  # it ended meanwhile
            continue
    return pages * os.sysconf("SC_PAGE_SIZE") / 2**20


def measure(size: Size, scratch: Path) -> Measured:
    """Every command on one bench."""
    bench, out, cache = scratch / "bench", scratch / "out", scratch / "cache"
    write_bench(bench, size)

    def tool(*arguments: str | Path) -> Cost:
        where = ("--bench", bench, "--as-of", AS_OF)
        return cost_of("-m", "trialpress.cli", *arguments, *where, cache=cache)

    rows = {
        "plain script": cost_of(SCRIPT, bench, scratch / "plain", cache=cache),
        "frictionless alone": cost_of(SCRIPT, bench, cache=cache),
        "build, cold": tool("build", "--out", out),
        "build, nothing new": tool("build", "--out", out),
    }
    pages = _count(out / "site", ".html")
    add_run(bench)
    rows["build, one row more"] = tool("build", "--out", out)
    rows["check"] = tool("check")
    rows["explain"] = tool("explain", _any_setup(bench), PROTOCOLS[0].name)
    rows["plan"] = tool("plan", "--settle", PROTOCOLS[0].name)
    rows["--help"] = cost_of("-m", "trialpress.cli", "--help", cache=cache)
    return Measured(
        size.machines, rows, _size_mb(out / "site"), pages, _count(scratch / "plain", ".html")
    )


def add_run(bench: Path) -> None:
    """One run more on the last day, a copy of that day's first with another time and number."""
    file = max((bench / "data/days").iterdir()) / "values.csv"
    header, first = file.read_text(encoding="utf-8").splitlines()[:2]
    cells = dict(zip(header.split(","), first.split(","), strict=True))
    cells |= {"run": f"{cells['run']}-again", "at": f"{cells['at'][:10]}T20:00"}
    with file.open("a", encoding="utf-8") as rows:
        rows.write(",".join(cells.values()) + "\n")


def _any_setup(bench: Path) -> str:
    lines = (bench / "data/catalogue/setups.csv").read_text(encoding="utf-8").splitlines()
    return lines[2].split(",")[0]


def _count(folder: Path, suffix: str) -> int:
    return sum(file.suffix == suffix for file in folder.rglob("*"))


def _size_mb(folder: Path) -> float:
    return sum(file.stat().st_size for file in folder.rglob("*") if file.is_file()) / 2**20


def lines_of(measured: Sequence[Measured]) -> Iterator[str]:
    """The table: costs, then ratios, then exponents between neighbouring sizes."""
    yield "| machines | " + " | ".join(f"{one.machines:,}" for one in measured) + " |"
    yield "|---|" + "---|" * len(measured)
    for what in measured[0].rows:
        yield _line(f"{what}, CPU s", [f"{one.rows[what].cpu_s:.2f}" for one in measured])
    yield _line("peak of a cold build, MB", [f"{_cold(one).peak_mb:.0f}" for one in measured])
    yield _line("site, MB", [f"{one.site_mb:.0f}" for one in measured])
    yield _line("pages, ours / plain", [f"{one.pages} / {one.plain_pages}" for one in measured])
    cold = [one.rows["plain script"].cpu_s / _cold(one).cpu_s for one in measured]
    yield _line("**plain script / cold build**", [f"**{ratio:.2f}**" for ratio in cold])
    for what in ("build, one row more", "build, nothing new"):
        shares = [one.rows[what].cpu_s / _cold(one).cpu_s for one in measured]
        yield _line(f"{what} / cold build", [f"{share:.2f}" for share in shares])
    checks = [one.rows["frictionless alone"].cpu_s / one.rows["check"].cpu_s for one in measured]
    yield _line("frictionless alone / check", [f"{ratio:.2f}" for ratio in checks])
    for what in ("plain script", "build, cold"):
        yield _line(f"exponent of {what}", ["", *_exponents(measured, what)])


def _line(name: str, figures: Sequence[str]) -> str:
    return f"| {name} | " + " | ".join(figures) + " |"


def _cold(one: Measured) -> Cost:
    return one.rows["build, cold"]


def _exponents(measured: Sequence[Measured], what: str) -> Iterator[str]:
    """How costs grow with machines: the slope between neighbours, both as logarithms."""
    for fewer, more in pairwise(measured):
        times = more.rows[what].cpu_s / fewer.rows[what].cpu_s
        yield f"{math.log(times) / math.log(more.machines / fewer.machines):.2f}"


def many_rows_line(scratch: Path) -> str:
    """What checking a hundred thousand rows costs, and what frictionless alone takes for them."""
    bench, cache = scratch / "many", scratch / "cache"
    write_bench(bench, MANY_ROWS)
    files = [file for file in bench.rglob("*.csv") if file.stem != "published"]
    count = sum(len(file.read_bytes().splitlines()) - 1 for file in files)
    ours = cost_of("-m", "trialpress.cli", "check", "--bench", bench, cache=cache).cpu_s
    alone = cost_of(SCRIPT, bench, cache=cache).cpu_s
    return (
        f"Check of {count:,} rows in {len(files):,} files: {ours:.1f} CPU s; frictionless alone "
        f"{alone:.1f}, **{alone / ours:.1f} times as long**."
    )


def figures(sizes: Sequence[int], *, has_many_rows: bool) -> str:
    """Measure, one bench after the other, and write the table."""
    with TemporaryDirectory() as folder:
        measured = []
        for machines in sizes:
            scratch = Path(folder) / str(machines)
            measured.append(measure(Size(machines), scratch))
            shutil.rmtree(scratch)
            sys.stdout.write("\n".join(lines_of(measured)) + "\n\n")
        many = [many_rows_line(Path(folder))] if has_many_rows else []
    git = ["git", "rev-parse", "--short", "HEAD"]
    commit = subprocess.run(git, cwd=CHECKOUT, capture_output=True, text=True, check=False).stdout
    told = (
        f"Commit {commit.strip() or 'unknown'}, Python {platform.python_version()}, "
        f"{os.cpu_count()} processors; a loop of {CALIBRATION_STEPS:,} steps takes "
        f"{calibration_s():.2f} CPU s here."
    )
    return "\n".join([told, "", *lines_of(measured), "", *many]) + "\n"


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description="The tool beside a plain script.")
    parser.add_argument("machines", type=int, nargs="*", default=[36, 100, 300])
    parser.add_argument("--thousand", action="store_true", help="also a bench of 1,000 machines")
    parser.add_argument("--rows", action="store_true", help="also check a hundred thousand rows")
    parser.add_argument("--keep", action="store_true", help=f"write the table into {TABLE.name}")
    asked = parser.parse_args()
    sizes = [*asked.machines, *([1000] if asked.thousand else [])]
    text = figures(sizes, has_many_rows=asked.rows)
    sys.stdout.write(text)
    if asked.keep:
        before, _, rest = TABLE.read_text(encoding="utf-8").partition(START)
        after = rest.partition(END)[2]
        TABLE.write_text(before + START + text + END + after, encoding="utf-8")


if __name__ == "__main__":
    main()
