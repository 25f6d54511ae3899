"""Benches that pass every check and are hard on the mathematics: ties, zeros, single runs, gaps.

In:  what hypothesis draws.
Out: bench folders.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import count
from pathlib import Path

from hypothesis import strategies as st

from desk.random_benches import SMALL, Row, write_rows

FLOORS = ("rug", "boards", "tiles")
SETUPS = ("a-one", "a-two", "b-one", "c-one")
DAYS = ("2031-03-02", "2031-03-09", "2031-03-16")
# Protocol: its table, its reading, its floor, and readings that are hard to work with.
PROTOCOLS = {
    "swept": ("weighings", "collected", "rug", ("0.0", "0.1", "12.0", "12.1", "20.0", "20.3")),
    "left": ("weighings", "left", "boards", ("0.0", "0.1", "10.0", "19.9", "20.0")),
    "edges": ("weighings", "collected", "tiles", ("0.0", "0.1", "10.0", "20.0")),
    "hair": ("counts", "count", "rug", ("0", "1", "19", "20")),
    "stain": ("gradings", "graded", "tiles", ("0", "1", "2", "4")),
    "noise": ("values", "value", "rug", ("-0.5", "0", "61.0", "61.1", "250000")),
}


@dataclass(frozen=True)
class Extreme:
    """Runs as (set-up, protocol, day, reading); which readings count in the overall."""

    runs: tuple[tuple[str, str, str, str], ...]
    in_overall: tuple[str, ...]
    reference: str
    has_balance: bool
    single_runs: str
    top_n: int


@st.composite
def extreme_benches(draw: st.DrawFn) -> Extreme:
    """Up to three dozen runs; many cells stay empty or have a single run."""
    runs = []
    for protocol in sorted(draw(st.sets(st.sampled_from(sorted(PROTOCOLS)), min_size=1))):
        one = st.tuples(st.sampled_from(SETUPS), st.sampled_from(DAYS))
        reading = st.sampled_from(PROTOCOLS[protocol][3])
        for (setup, day), typed in draw(st.lists(st.tuples(one, reading), max_size=12)):
            runs.append((setup, protocol, day, typed))
    return Extreme(
        runs=tuple(runs),
        in_overall=tuple(draw(st.sets(st.sampled_from(("swept", "left", "edges", "hair"))))),
        reference=draw(st.sampled_from(("", *SETUPS))),
        has_balance=draw(st.booleans()),
        single_runs=draw(st.sampled_from(("borrowed", "open"))),
        top_n=draw(st.integers(1, 5)),
    )


def write_extreme(extreme: Extreme, folder: Path) -> Path:
    """Write the bench; replicates are numbered in the order of days."""
    data = folder / "data"
    (data / "catalogue" / "methods").mkdir(parents=True)
    settings = (SMALL / "data" / "bench.toml").read_text(encoding="utf-8")
    lines = [line for line in settings.splitlines() if not line.startswith(("top_n", "single_"))]
    lines += [f"top_n = {extreme.top_n}", f'single_runs = "{extreme.single_runs}"', ""]
    (data / "bench.toml").write_text("\n".join(lines), encoding="utf-8")
    for name, rows in _catalogue(extreme).items():
        write_rows(data / "catalogue" / f"{name}.csv", rows)
    for protocol in PROTOCOLS:
        (data / "catalogue" / "methods" / f"{protocol}.md").write_text(f"# {protocol}\n\nRun it.\n")
    for file, rows in _days(extreme).items():
        write_rows(data / "days" / file, rows)
    return folder


def _catalogue(extreme: Extreme) -> dict[str, list[Row]]:
    machines = sorted({setup[0] for setup in SETUPS})
    return {
        "makers": [{"maker": "maker", "name": "Maker"}],
        "machines": [
            {"machine": m, "maker": "maker", "name": f"Machine {m}", "kind": "stick"}
            | {"acquired": "bought", "price": str(100 * i), "currency": "EUR"}
            | {"priced_on": "2031-01-01"}
            for i, m in enumerate(machines, start=1)
        ],
        "setups": [
            {"setup": setup, "machine": setup[0], "label": setup, "stock": "true"}
            | {"reference": str(setup == extreme.reference).lower()}
            for setup in SETUPS
        ],
        "floors": [{"floor": f, "name": f, "covering": "hard"} for f in FLOORS],
        "soils": [{"soil": "dust", "name": "Dust", "material": "dust"}],
        "instruments": [
            {"instrument": "balance", "quantity": "mass", "unit": "g", "resolution": "0.1"}
        ],
        "protocols": [_protocol(name, extreme) for name in PROTOCOLS],
    }


def _protocol(name: str, extreme: Extreme) -> Row:
    table, reading, floor, _ = PROTOCOLS[name]
    is_weighed, is_graded = table == "weighings", table == "gradings"
    return {
        "protocol": name,
        "version": "1",
        "title": f"Protocol {name}",
        "reading": reading,
        "floor": floor,
        "soil": "dust" if is_weighed else "",
        "dose_g": "20" if is_weighed else "",
        "dose_tolerance_g": "0.5" if is_weighed else "",
        "clean_limit": "1" if is_graded else "",
        "zones": "2" if is_graded else "",
        "unit": "dB(A)" if name == "noise" else "%",
        "better": "lower" if name == "noise" else "higher",
        "min_runs": "2",
        "matters": "2",
        "from_date": "2031-01-01",
        "continues": "false",
        "in_overall": "1" if name in extreme.in_overall else "0",
    }


def _days(extreme: Extreme) -> dict[str, list[Row]]:
    numbers, replicates = count(), dict[tuple[str, str], int]()
    files: dict[str, list[Row]] = {}
    for setup, protocol, day, typed in sorted(extreme.runs, key=lambda run: run[2]):
        replicates[setup, protocol] = replicates.get((setup, protocol), 0) + 1
        run = {
            "run": f"run-{next(numbers)}",
            "at": day,
            "setup": setup,
            "protocol": protocol,
            "version": "1",
            "replicate": str(replicates[setup, protocol]),
            "status": "valid",
        }
        table = PROTOCOLS[protocol][0]
        rows = files.setdefault(f"{day}-hall/{table}.csv", [])
        rows.extend(_rows(run, table, typed, has_balance=extreme.has_balance))
    return files


def _rows(run: Row, table: str, typed: str, *, has_balance: bool) -> list[Row]:
    balance = {"instrument": "balance"} if has_balance else {"instrument": ""}
    match table:
        case "weighings":
            dose = {"dose_g": "20.0", "dose_by": "reading", "dose_instrument": ""}
            return [run | balance | dose | {"gain_g": typed}]
        case "counts":
            return [run | {"hits": typed, "tries": "20"}]
        case "values":
            return [run | {"value": typed}]
        case _:
            zones = ({"zone": "left", "grade": typed}, {"zone": "right", "grade": "1"})
            return [run | {"grader": "ann"} | zone for zone in zones]
