"""The yardstick: what somebody at home in these libraries would write for one bench, and no more.

In:  a bench folder.
Out: a site with as many pages and pictures as the tool's, in an output folder.

Frictionless for each file, pandas for the numbers, Tukey's intervals with scipy, one Altair chart
and one call of vl-convert a picture, Jinja for the pages. No cache, and nothing slowed down: what
would be needlessly slow (scipy's ``tukey_hsd`` takes minutes for a hundred set-ups, as it works out
a chance for each pair) is done the quicker way.

Run as ``.venv/bin/python tests/speed/plain_script.py BENCH OUT``.
"""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
from pathlib import Path

import altair as alt
import duckdb
import numpy as np
import pandas as pd
import vl_convert
from frictionless import Detector, Resource, Schema
from jinja2 import Environment
from scipy import stats

CHECKOUT = Path(__file__).parents[2]
SCHEMAS = CHECKOUT / "pipeline/trialpress/intake/schemas"
WIDE, NARROW = 720, 340
CONFIDENCE = 0.95
ROOT_PAGES = 18
PAGE = """<!doctype html><html lang="en"><meta charset="utf-8"><title>{{ title }}</title>
<link rel="stylesheet" href="style.css"><h1>{{ title }}</h1>
{% for picture in pictures %}<figure>{{ picture | safe }}</figure>{% endfor %}
{% for table in tables %}<table><tr>{% for column in table.columns %}<th>{{ column }}</th>
{% endfor %}</tr>{% for row in table.itertuples(index=False) %}<tr>{% for cell in row %}
<td>{{ cell }}</td>{% endfor %}</tr>{% endfor %}</table>{% endfor %}</html>
"""


@dataclass(frozen=True)
class Bench:
    """Every table of a bench folder, days joined."""

    tables: dict[str, pd.DataFrame]

    def __getitem__(self, name: str) -> pd.DataFrame:
        return self.tables[name]


class UnsoundFileError(ValueError):
    """A file is not what its schema says."""


def check_files(data: Path) -> int:
    """Ask frictionless about every table; how many rows there are."""
    return sum(_checked_rows(file) for file in _files(data))


def _files(data: Path) -> list[Path]:
    return sorted(file for file in data.rglob("*.csv") if file.stem != "published")


def _checked_rows(file: Path) -> int:
    descriptor = json.loads((SCHEMAS / f"{file.stem}.json").read_text("utf-8"))
    descriptor.pop("foreignKeys", None)  # they reach into other folders; pandas joins by them
    schema = Schema.from_descriptor(descriptor)
    detector = Detector(schema_sync=True)
    resource = Resource(path=file.name, basepath=str(file.parent), schema=schema, detector=detector)
    report = resource.validate()
    if not report.valid:
        raise UnsoundFileError(file, report.flatten(["rowNumber", "message"]))
    return int(report.tasks[0].stats["rows"])


def read_tables(data: Path) -> Bench:
    """Read every table."""
    files: dict[str, list[Path]] = {}
    for file in _files(data):
        files.setdefault(file.stem, []).append(file)
    return Bench({name: pd.concat(map(pd.read_csv, found)) for name, found in files.items()})


def run_values(bench: Bench) -> pd.DataFrame:
    """One row a valid run, with its value."""
    weighings = bench["weighings"].copy()
    corrections = bench["corrections"]
    for fix in corrections[corrections["table"] == "weighings"].itertuples():
        weighings.loc[weighings["run"] == fix.row, fix.column] = float(str(fix.now))
    protocols = bench["protocols"][["protocol", "reading", "clean_limit", "better", "title"]]
    weighings = weighings.merge(protocols, on="protocol")
    gain = 100 * (weighings["after_g"] - weighings["before_g"]) / weighings["dose_g"]
    weighings["value"] = gain.where(weighings["reading"] == "collected", 100 - gain)
    counts = bench["counts"].merge(protocols, on="protocol")
    counts["value"] = 100 * counts["hits"] / counts["tries"]
    gradings = bench["gradings"].merge(protocols, on="protocol")
    gradings["value"] = 100.0 * (gradings["grade"] <= gradings["clean_limit"])
    keys = ["run", "at", "setup", "protocol", "better", "title", "status"]
    grades = gradings.groupby(keys, as_index=False)["value"].mean()
    values = bench["values"].merge(protocols, on="protocol")
    runs = pd.concat([table[[*keys, "value"]] for table in (weighings, counts, grades, values)])
    return runs[runs["status"] == "valid"].drop(columns="status")


def standing(runs: pd.DataFrame) -> pd.DataFrame:
    """One protocol: means with intervals, places, and the places that cannot be ruled out."""
    cells = runs.groupby("setup")["value"].agg(["mean", "std", "count"]).reset_index()
    df = int((cells["count"] - 1).sum())
    pooled = np.sqrt((cells["std"] ** 2 * (cells["count"] - 1)).sum() / df)
    error = pooled / np.sqrt(cells["count"])
    half = stats.t.ppf((1 + CONFIDENCE) / 2, df) * error
    cells["low"], cells["high"] = cells["mean"] - half, cells["mean"] + half
    critical = stats.studentized_range.ppf(CONFIDENCE, len(cells), df) / np.sqrt(2)
    mean = cells["mean"].to_numpy() * (1 if runs["better"].iloc[0] == "higher" else -1)
    is_better = mean[:, None] - mean > critical * np.hypot(*np.meshgrid(error, error))
    cells["best"] = 1 + is_better.sum(axis=0)
    cells["worst"] = len(cells) - is_better.sum(axis=1)
    cells["place"] = pd.Series(-mean).rank(method="min").astype(int)
    return cells.sort_values("place").round(2)


def interval_chart(rows: pd.DataFrame, subject: str, width: int) -> str:
    """Means with their intervals, one row a subject, as SVG."""
    base = alt.Chart(rows).encode(y=alt.Y(f"{subject}:N", sort=None, title=None))
    bars = base.mark_rule(strokeWidth=3).encode(x=alt.X("low:Q", title="mean"), x2="high:Q")
    points = base.mark_point(filled=True, size=60).encode(x="mean:Q")
    return _drawn((bars + points).properties(width=width))


def scatter_chart(rows: pd.DataFrame, columns: tuple[str, str], width: int) -> str:
    """Two figures of each set-up against each other, as SVG."""
    across, up = columns
    chart = alt.Chart(rows).mark_point(filled=True).encode(x=f"{across}:Q", y=f"{up}:Q")
    return _drawn(chart.properties(width=width, height=300))


def link_picture(rows: pd.DataFrame, title: str) -> bytes:
    """The picture for links from elsewhere: a title and the first rows, as PNG."""
    first = rows.head(3)
    chart = alt.Chart(first).mark_bar().encode(x="mean:Q", y=alt.Y("setup:N", sort=None))
    sized = chart.properties(width=1000, height=400, title=title)
    return vl_convert.vegalite_to_png(_styled(sized), vl_version="6.1")


def _drawn(chart: alt.Chart | alt.LayerChart) -> str:
    return vl_convert.vegalite_to_svg(_styled(chart), vl_version="6.1")


def _styled(chart: alt.Chart | alt.LayerChart) -> str:
    return str(chart.configure(font="Roboto Slab").to_json())


@dataclass(frozen=True)
class Subject:
    """One page with a picture: its address, its title, its rows, and the SVG in both widths."""

    address: str
    title: str
    rows: pd.DataFrame
    pictures: tuple[str, ...] = ()


def subjects(bench: Bench, standings: dict[str, pd.DataFrame]) -> Iterator[Subject]:
    """Every page that has pictures, as the tool has them."""
    machines = bench["setups"].merge(bench["machines"], on="machine")
    merged = pd.concat([rows.assign(protocol=name) for name, rows in standings.items()])
    everything = merged.merge(machines, on="setup")
    for name, rows in standings.items():
        full = everything[everything["protocol"] == name]
        yield _with_intervals(f"standings-{name}", rows, "setup")
        yield _with_scatter(f"prices-{name}", full, ("price", "mean"))
        yield _with_scatter(f"goes-with-{name}", full, ("place", "mean"))
        yield _with_intervals(f"watch-{name}", rows.head(1), "setup")
        yield Subject(f"methods-{name}", name, rows)
    for machine, rows in everything.groupby("machine"):
        yield _with_intervals(f"machines-{machine}", rows, "protocol")
    for maker, rows in everything.groupby("maker"):
        yield _with_intervals(f"makers-{maker}", rows, "machine")
    for quantity, claims in bench["claims"].groupby("quantity"):
        rows = everything.merge(claims, on="machine").drop_duplicates("machine")
        yield _with_scatter(f"claims-{quantity}", rows, ("value", "mean"))
    overall = everything.groupby("setup")[["mean", "low", "high"]].mean().reset_index()
    yield _with_intervals("overall", overall, "setup")
    yield from (Subject(f"page-{number}", "Words", overall) for number in range(ROOT_PAGES))


def _with_intervals(address: str, rows: pd.DataFrame, subject: str) -> Subject:
    pictures = tuple(interval_chart(rows, subject, width) for width in (WIDE, NARROW))
    return Subject(address, address.title(), rows, pictures)


def _with_scatter(address: str, rows: pd.DataFrame, columns: tuple[str, str]) -> Subject:
    pictures = tuple(scatter_chart(rows, columns, width) for width in (WIDE, NARROW))
    return Subject(address, address.title(), rows, pictures)


def write_site(bench: Bench, out: Path) -> None:
    """Every page, and what the tool has besides: worked figures, embeds, data to load."""
    template = Environment(autoescape=True).from_string(PAGE)
    runs = run_values(bench)
    standings = {str(name): standing(rows) for name, rows in runs.groupby("protocol")}
    differences = {name: pairwise(rows) for name, rows in standings.items()}

    def write(address: str, title: str, tables: list[pd.DataFrame], *pictures: str) -> None:
        page = template.render(title=title, tables=tables, pictures=pictures)
        (out / f"{address}.html").write_text(page, encoding="utf-8")

    for subject in subjects(bench, standings):
        write(subject.address, subject.title, [subject.rows], *subject.pictures)
        picture = link_picture(subject.rows, subject.title)
        (out / f"{subject.address}.png").write_bytes(picture)
        if subject.pictures:
            write(f"embed-{subject.address}", subject.title, [], *subject.pictures)
    for setup, own in runs.groupby("setup"):
        write(f"worked-{setup}", str(setup), [own])
    for name, rows in {"runs": runs, **standings, **differences}.items():
        rows.to_csv(out / f"{name}.csv", index=False)
        duckdb.from_df(rows).write_parquet(str(out / f"{name}.parquet"))


def pairwise(rows: pd.DataFrame) -> pd.DataFrame:
    """Every pair of set-ups and their difference."""
    first, second = np.array(list(combinations(range(len(rows)), 2))).T
    setups, means = rows["setup"].to_numpy(), rows["mean"].to_numpy()
    columns = {
        "setup": setups[first],
        "other": setups[second],
        "difference": means[first] - means[second],
    }
    return pd.DataFrame(columns)


def main() -> None:
    """Check, work out and write."""
    parser = argparse.ArgumentParser(description="The plain script beside the tool.")
    parser.add_argument("bench", type=Path)
    parser.add_argument("out", type=Path, nargs="?", help="where left out, files are only checked")
    asked = parser.parse_args()
    check_files(asked.bench / "data")
    if asked.out is not None:
        asked.out.mkdir(parents=True, exist_ok=True)
        write_site(read_tables(asked.bench / "data"), asked.out)


if __name__ == "__main__":
    main()
