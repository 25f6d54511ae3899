"""A site of three pages with real charts and the site's own scripts, for tests of those scripts.

The pages hold no more than what the scripts go by; how real pages look is tested elsewhere.
"""

from __future__ import annotations

import json
import shutil
from collections.abc import Sequence
from html import escape
from pathlib import Path

from charts.hand_filled import Entry, view_of
from trialpress.charts import Chart, draw_charts, palette_css, read_theme
from trialpress.site.data_scripts import chart_scripts

STATIC = Path(__file__).parents[2] / "site_templates" / "static"
POLICY = (
    "default-src 'self'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
    "object-src 'none'; base-uri 'none'; form-action 'self'"
)
ENTRIES = (
    Entry("one-stock", 94.0, 92.5, 95.5, (1, 2), top="certain"),
    Entry("two-stock", 93.1, 90.1, 96.1, (1, 3), maker="kelding", machine="kelding-two"),
    Entry("one-slow", 88.0, 82.0, 94.0, (2, 3), label="slow", provisional=True, on_one_run=True),
)
# Of each set-up: kind, price (blank where unknown), whether it ran on every floor.
KNOWN = {
    "one-stock": ("robot", "300", "true"),
    "two-stock": ("stick", "", "false"),
    "one-slow": ("robot", "300", "false"),
}
MEANT = {
    "meant": [["fluffy", ["carpet"]], ["pet hair", ["Crème"]], ["pet", ["Two", "One"]]],
    "upTo": ["under", "up to"],
    "currency": "EUR",
    "kinds": {"robot": "robot", "stick": "stick"},
}
INDEX: list[dict[str, str | float | bool]] = [
    {"t": "Ostrel One", "k": "machine", "u": "machines/ostrel-one.html", "x": "robot", "p": 300.0},
    {"t": "Kelding Two", "k": "machine", "u": "machines/kelding-two.html", "x": "stick"},
    {"t": "Kelding", "k": "maker", "u": "makers/kelding.html", "x": ""},
    {
        "t": "Dust from carpet",
        "k": "standing",
        "u": "standings/carpet.html",
        "x": "Ostrel",
        "f": True,
    },
    {"t": "Crème floor", "k": "floor", "u": "floors/creme.html", "x": ""},
]


def write_small_site(folder: Path) -> Path:
    """Write the site; its standing is ``standings/carpet.html``."""
    write_site_of(ENTRIES, folder)
    _write(folder / "search.html", "", "<section data-search-results hidden></section>")
    for entry in INDEX:
        target = folder / str(entry["u"])
        if not target.exists():
            _write(target, "../", f"<h1>{entry['t']}</h1>")
    return folder


def write_site_of(entries: Sequence[Entry], folder: Path) -> Path:
    """Write the page of one standing and what it loads; give back the page."""
    charts = draw_charts(view_of(entries))
    page = folder / "standings" / "carpet.html"
    _copy_static(folder / "static")
    for script in chart_scripts(charts):
        target = folder / script.url
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(script.text, encoding="utf-8")
    _write(page, "../", _table(entries) + _figure(charts.standings["carpet", 1]))
    return page


def _copy_static(folder: Path) -> None:
    shutil.copytree(STATIC / "js", folder / "js")
    (folder / "vendor").mkdir()
    shutil.copy(STATIC / "vendor" / "vega-runtime.js", folder / "vendor")
    (folder / "palette.css").write_text(palette_css(read_theme()) + LOOK, encoding="utf-8")
    index = f"window.trialpressIndex = {json.dumps({**MEANT, 'pages': INDEX})};\n"
    (folder / "search-index.js").write_text(index, encoding="utf-8")


LOOK = """
body { margin: 1rem; background: var(--paper); color: var(--ink); font: 16px sans-serif; }
svg { display: block; width: 100%; height: auto; }
.unseen { position: absolute; clip-path: inset(50%); width: 1px; height: 1px; overflow: hidden; }
.narrow { display: none; }
@media (max-width: 46rem) { .wide { display: none; } .narrow { display: block; } }
"""


def _write(target: Path, root: str, main: str) -> None:
    target.parent.mkdir(parents=True, exist_ok=True)
    text = f"""<!doctype html>
<html lang="en" data-root="{root}">
<head><meta charset="utf-8"><title>Small site</title>
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="{POLICY}">
<link rel="icon" href="data:,">
<link rel="stylesheet" href="{root}static/palette.css">
<script src="{root}static/js/site.js" defer></script></head>
<body>
<form role="search" data-search action="{root}search.html">
<input name="q" type="search" aria-label="Find"><button type="submit">Find</button></form>
<main>{main}</main>
</body></html>
"""
    target.write_text(text, encoding="utf-8")


def _table(entries: Sequence[Entry]) -> str:
    return f"""
<form data-filters hidden>
<select name="kind" aria-label="Kind"><option value="">all</option>
<option value="robot">robot</option><option value="stick">stick</option></select>
<input name="price_min" type="number" aria-label="From">
<input name="price_max" type="number" aria-label="To">
<label><input name="complete" type="checkbox">complete</label>
<output data-filter-count></output> <button type="reset">Show all</button></form>
<table>
<thead><tr><th data-sort="number" aria-sort="ascending">Place</th><th data-sort="text">Set-up</th>
<th data-sort="number">Price, EUR</th></tr></thead>
<tbody data-rows>{"".join(_row(entry, place) for place, entry in enumerate(entries, 1))}</tbody>
</table>
"""


def _row(entry: Entry, place: int) -> str:
    other = ("robot", "", "false") if place % 3 else ("stick", "", "false")
    kind, price, complete = KNOWN.get(entry.setup, other)
    return f"""
<tr data-setup="{entry.setup}" data-kind="{kind}" data-maker="{entry.maker}"
 data-price="{price}" data-complete="{complete}">
<td data-value="{place}">{place}.</td>
<td class="name"><a href="../machines/{entry.machine}.html">{entry.machine} {entry.label}</a></td>
<td data-value="{price}">{price or "unknown"}</td></tr>
"""


def _figure(chart: Chart) -> str:
    return f"""
<figure data-chart="{chart.name}">
<div class="wide" data-chart-picture="wide">{chart.svg}</div>
<div class="narrow" data-chart-picture="narrow">{chart.svg_narrow}</div>
<figcaption>{escape(chart.caption)}</figcaption></figure>
"""
