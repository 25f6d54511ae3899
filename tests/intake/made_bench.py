"""Benches made up by hypothesis: valid by the way they are made.

In:  what hypothesis draws.
Out: the text of every file.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from hypothesis import strategies as st

from intake.broken import BASE
from trialpress.bench import Bench

DAY = "data/days/2031-03-02-hall"
RUN_HEADER = ["run", "at", "setup", "protocol", "version", "replicate"]
NOTES = st.one_of(st.just(""), st.sampled_from(["fine", "two\nlines", 'said "no"', "a, b", "ok;"]))
GRAMS = st.decimals("0.1", "900", places=1)

Rows = list[list[str]]


@dataclass(frozen=True)
class MadeBench:
    """The tables of one day over the catalogue of the small bench; the first row is the header."""

    weighings: Rows
    counts: Rows
    values: Rows

    def write(self, folder: Path) -> Bench:
        """Write the bench into a folder."""
        for path in [*sorted(BASE.glob("data/catalogue/**/*")), BASE / "data/bench.toml"]:
            if path.is_file():
                target = folder / path.relative_to(BASE)
                target.parent.mkdir(parents=True, exist_ok=True)
                target.write_bytes(path.read_bytes())
        for table in ("weighings", "counts", "values"):
            target = folder / DAY / f"{table}.csv"
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_text(_as_csv(getattr(self, table)), encoding="utf-8", newline="")
        return Bench(folder)


def _as_csv(rows: Sequence[Sequence[str]]) -> str:
    buffer = io.StringIO()
    csv.writer(buffer).writerows(rows)
    return buffer.getvalue()


def _run(table: str, number: int, setup: str, protocol: str, replicate: int) -> list[str]:
    return [f"{table}-{number}", "2031-03-02T19:00", setup, protocol, "1", str(replicate)]


@st.composite
def made_benches(draw: st.DrawFn) -> MadeBench:
    """A day with a few runs of each kind, all of them right."""
    counts = {(setup, table): 0 for setup in ("one-stock", "two-stock") for table in "wcv"}

    def start(table: str, name: str, protocol: str, number: int) -> list[str]:
        setup = draw(st.sampled_from(["one-stock", "two-stock"]))
        counts[setup, table] += 1
        return _run(name, number, setup, protocol, counts[setup, table])

    weighings = [[*RUN_HEADER, "dose_g", "dose_by", "before_g", "after_g", "status", "note"]]
    for number in range(draw(st.integers(1, 6))):
        dose, before = draw(st.decimals("19.5", "20.5", places=1)), draw(GRAMS)
        after = before + draw(st.decimals("0", "19.5", places=1))
        masses = [f"{dose:f}", "reading", f"{before:f}", f"{after:f}", "valid", draw(NOTES)]
        weighings.append([*start("w", "weighing", "pickup", number), *masses])
    tries = [[*RUN_HEADER, "hits", "tries", "status"]]
    for number in range(draw(st.integers(1, 4))):
        tried = draw(st.integers(1, 40))
        hit = draw(st.integers(0, tried))
        tries.append([*start("c", "count", "hair", number), str(hit), str(tried), "valid"])
    values = [[*RUN_HEADER, "value", "status"]]
    for number in range(draw(st.integers(1, 4))):
        figure = draw(st.decimals("-40", "140", places=2))
        values.append([*start("v", "value", "noise", number), f"{figure:f}", "valid"])
    return MadeBench(weighings, tries, values)
