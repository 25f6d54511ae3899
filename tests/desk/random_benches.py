"""Benches drawn at random, some of their rows under embargo."""

from __future__ import annotations

import csv
import shutil
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

from hypothesis import strategies as st
from PIL import Image

Row = dict[str, str]
DAYS = ("2031-03-02", "2031-03-09", "2031-03-16")
DATES = ("2031-03-01", "2031-03-05", "2031-03-12", "2031-03-20", "2031-04-01")
SETUPS = ("a1-one", "a1-two", "a2-one", "b1-one", "b1-two", "c1-one")
CLAIMED_OF = ("a1-one", "", "b1-two", "")
"""What the claim made for each machine is about; blank is the machine as unboxed."""
SMALL = Path(__file__).parents[1] / "folders" / "base"


@dataclass(frozen=True)
class Drawn:
    """What is random in a bench; dates are blank or one of ``DATES``."""

    as_of: str
    publish_on: dict[str, str]
    laid_on: str
    version_2_from: str
    stated_on: str
    mistyped: tuple[str, ...]
    corrected_on: tuple[str, ...]
    gains: tuple[int, ...]


@st.composite
def drawn_benches(draw: st.DrawFn) -> Drawn:
    date = st.sampled_from(DATES)
    return Drawn(
        as_of=draw(date),
        publish_on={setup: draw(st.sampled_from(("", *DATES))) for setup in SETUPS},
        laid_on=draw(st.sampled_from(("", "2031-03-05", "2031-03-12"))),
        version_2_from=draw(st.sampled_from(("2031-03-05", "2031-03-12"))),
        stated_on=draw(date),
        mistyped=tuple(draw(st.lists(st.sampled_from(SETUPS), min_size=2, max_size=4))),
        corrected_on=tuple(sorted(draw(st.lists(date, min_size=6, max_size=6)))),
        gains=tuple(draw(st.lists(st.integers(120, 190), min_size=18, max_size=18))),
    )


def write_bench(drawn: Drawn, folder: Path) -> Path:
    """Write a bench that passes every check on any date."""
    data = folder / "data"
    (data / "catalogue" / "methods").mkdir(parents=True)
    shutil.copy(SMALL / "data" / "bench.toml", data / "bench.toml")
    for name, rows in catalogue(drawn).items():
        write_rows(data / "catalogue" / f"{name}.csv", rows)
    for protocol in ("pickup", "noise", "late", "spare"):
        (data / "catalogue" / "methods" / f"{protocol}.md").write_text(f"# {protocol}\n\nRun it.\n")
    for day, tables in days(drawn).items():
        for name, rows in tables.items():
            write_rows(data / "days" / day / f"{name}.csv", rows)
        (data / "days" / day / "photos").mkdir()
        Image.new("RGB", (8, 8), "grey").save(data / "days" / day / "photos" / "one.png")
    write_rows(data / "corrections.csv", corrections(drawn))
    write_rows(data / "films.csv", films(drawn))
    write_rows(data / "film_marks.csv", film_marks())
    return folder


def write_rows(file: Path, rows: list[Row]) -> None:
    file.parent.mkdir(parents=True, exist_ok=True)
    with file.open("w", encoding="utf-8", newline="") as opened:
        writer = csv.DictWriter(opened, list(rows[0]), lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)


def catalogue(drawn: Drawn) -> dict[str, list[Row]]:
    machines = sorted({setup.split("-")[0] for setup in SETUPS})
    return {
        "makers": [
            {"maker": maker, "name": f"Maker {maker}"}
            for maker in sorted({machine[0] for machine in machines})
        ],
        "machines": [
            {
                "machine": m,
                "maker": "c" if m == "a2" else m[0],
                "name": f"Machine {m}",
                "kind": "stick",
                "price": "100",
            }
            | {"kind": "stick", "price": "100", "acquired": "bought"}
            for m in machines
        ],
        "setups": [
            {"setup": setup, "machine": "c1" if setup == "a1-two" else setup.split("-")[0]}
            | {"label": setup.split("-")[1]}
            | {"mode": "low", "stock": "true", "reference": "false"}
            | {"publish_on": drawn.publish_on[setup]}
            for setup in SETUPS
        ],
        "floors": [
            {"floor": "rug", "name": "Rug", "covering": "rug", "laid_on": ""},
            {"floor": "new", "name": "New rug", "covering": "rug", "laid_on": drawn.laid_on},
        ],
        **equipment(),
        "protocols": protocols(drawn),
        "claims": [
            {"claim": f"{machine}-noise", "machine": machine, "quantity": "noise", "value": "70"}
            | {"setup": setup, "unit": "dB(A)", "source": "sheet", "stated_on": drawn.stated_on}
            for machine, setup in zip(machines, CLAIMED_OF, strict=True)
        ],
    }


def equipment() -> dict[str, list[Row]]:
    return {
        "soils": [
            {"soil": soil, "name": soil.title(), "material": "dust"}
            for soil in ("dust", "grit", "unused")
        ],
        "instruments": [
            {"instrument": instrument, "quantity": "mass", "unit": "g", "resolution": "0.1"}
            for instrument in ("balance", "scale", "spoon", "unused")
        ],
    }


def protocols(drawn: Drawn) -> list[Row]:
    return [
        protocol("pickup", "1", "2031-01-01", "false"),
        protocol("pickup", "2", drawn.version_2_from, "true"),
        protocol("noise", "1", "2031-01-01", "false"),
        protocol("late", "1", "2031-01-01", "false"),
        protocol("spare", "1", "2031-01-01", "false"),
    ]


def protocol(name: str, version: str, start: str, continues: str) -> Row:
    is_sound = name == "noise"
    return {
        "protocol": name,
        "version": version,
        "title": f"Protocol {name}",
        "reading": "value" if is_sound else "collected",
        "floor": "" if is_sound else "new" if name == "late" else "rug",
        "soil": "" if is_sound else "grit" if name == "late" else "dust",
        "dose_g": "" if is_sound else "20",
        "dose_tolerance_g": "" if is_sound else "0.5",
        "unit": "dB(A)" if is_sound else "%",
        "better": "lower" if is_sound else "higher",
        "min_runs": "2",
        "matters": "2",
        "from_date": start,
        "continues": continues,
        "in_overall": "0" if is_sound else "1",
    }


def films(drawn: Drawn) -> list[Row]:
    """One published when the claims are stated, one that is out already."""
    return [
        {"film": film, "title": f"Film {film}", "address": f"https://films.example/{film}"}
        | {"published_on": published_on}
        for film, published_on in (("one", drawn.stated_on), ("two", ""))
    ]


def film_marks() -> list[Row]:
    """Of each film the runs of one day, every set-up and every protocol."""
    shown = [
        *({"run": f"d1-{setup}", "setup": "", "protocol": ""} for setup in SETUPS),
        *({"run": "", "setup": setup, "protocol": ""} for setup in SETUPS),
        *({"run": "", "setup": "", "protocol": protocol} for protocol in ("pickup", "late")),
    ]
    return [
        {"film": film, "at": f"0:{minute:02}:00", "label": "Seen"} | names
        for film in ("one", "two")
        for minute, names in enumerate(shown)
    ]


def days(drawn: Drawn) -> dict[str, dict[str, list[Row]]]:
    """One run a day of each set-up, then on the last day runs typed under a wrong set-up."""
    gains = iter(drawn.gains * 3)
    written: dict[str, dict[str, list[Row]]] = {}
    for count, day in enumerate(DAYS, start=1):
        rows = [
            weighing(f"d{count}-{setup}", day, setup, str(count), next(gains)) for setup in SETUPS
        ]
        if day == DAYS[0]:
            rows.append({**weighing("between", day, "c1-one", "1", 150), "protocol": "spare"})
        if day == DAYS[-1]:
            rows.append(weighing("wrong", day, drawn.mistyped[0], "4", next(gains)))
            if drawn.laid_on <= day:
                rows.append({**weighing("late", day, "a1-one", "1", 150), "protocol": "late"})
            rows.append({**weighing("second", day, "b1-one", "1", next(gains)), "version": "2"})
        sounds = [
            {"run": f"n{count}-{setup}", "at": day, "setup": setup, "protocol": "noise"}
            | {"version": "1", "replicate": str(count), "value": f"{next(gains) / 2}"}
            | {"status": "valid"}
            for setup in SETUPS
        ]
        photos = [
            {"photo": f"p{count}-{setup}", "run": f"d{count}-{setup}", "file": "photos/one.png"}
            | {"caption": f"After {setup}", "alt": "A rug"}
            for setup in SETUPS
        ]
        written[f"{day}-hall"] = {"weighings": rows, "values": sounds, "photos": photos}
    return written


def weighing(run: str, day: str, setup: str, replicate: str, gain: int) -> Row:
    return {
        "run": run,
        "at": day,
        "setup": setup,
        "protocol": "pickup",
        "version": "1",
        "replicate": replicate,
        "instrument": "scale" if setup == "b1-two" else "balance",
        "dose_g": "20.0",
        "dose_by": "reading",
        "dose_instrument": "spoon" if run == "second" else "balance",
        "before_g": "260.0",
        "after_g": f"{260 + gain / 10:.1f}",
        "status": "valid",
    }


def corrections(drawn: Drawn) -> list[Row]:
    """A run's set-up, over several others, and its protocol; a mass, a mode, a price, a claim.

    Then a photo, and what the catalogue once said a set-up, a machine and a protocol belong to.
    """
    dates = iter(drawn.corrected_on)
    chain = list(dict.fromkeys(drawn.mistyped))
    found = [
        correction("weighings", "wrong", "setup", next(dates), (was, now))
        for was, now in pairwise(chain)
    ]
    after = 260 + drawn.gains[0] / 10
    rest = (
        ("weighings", "d1-a1-one", "after_g", (f"{after:.1f}", f"{after + 1:.1f}")),
        ("setups", "b1-two", "mode", ("low", "high")),
        ("machines", "c1", "price", ("100", "110")),
        ("setups", "a1-two", "machine", ("c1", "a1")),
        ("machines", "a2", "maker", ("c", "a")),
        ("protocols", "late|1", "floor", ("new", "rug")),
    )
    found += [
        correction(table, row, column, date, change)
        for (table, row, column, change), date in zip(rest, drawn.corrected_on, strict=False)
    ]
    found.append(correction("claims", "a2-noise", "machine", drawn.corrected_on[3], ("a2", "b1")))
    found.append(correction("claims", "c1-noise", "setup", drawn.corrected_on[1], ("", "c1-one")))
    for change in (("spare", "late"), ("late", "spare")):
        change_on = drawn.corrected_on[2]
        found.append(correction("weighings", "between", "protocol", change_on, change))
    photo = ("d1-c1-one", "d1-a1-two")
    found.append(correction("photos", "p1-c1-one", "run", drawn.corrected_on[4], photo))
    return [{"correction": f"c{count}", **row} for count, row in enumerate(found, start=1)]


def correction(table: str, row: str, column: str, on: str, change: tuple[str, str]) -> Row:
    was, now = change
    return {"table": table, "row": row, "column": column, "corrected_on": on} | {
        "was": was,
        "now": now,
        "why": "read again",
    }
