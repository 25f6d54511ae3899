"""Data that a page's scripts ask for when they are first needed.

In:  a name and a value; charts.
Out: a classic script, since a page opened from disk may load nothing else.

Short: the one form in which scripts of any page get data.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass

from trialpress.charts import Charts
from trialpress.charts.chart import Json

FOLDER = "static/data"


@dataclass(frozen=True)
class DataScript:
    """One value that scripts know by its name."""

    name: str
    value: Json

    @property
    def url(self) -> str:
        """Where it is written, relative to the site's root."""
        return f"{FOLDER}/{self.name}.js"

    @property
    def text(self) -> str:
        """The script: it leaves the value under its name."""
        value = json.dumps(self.value, ensure_ascii=True, separators=(",", ":"))
        return f"(window.trialpressData ??= {{}})[{json.dumps(self.name)}] = {value};\n"


def chart_scripts(charts: Charts) -> Iterator[DataScript]:
    """What redraws each chart, in both layouts; a page that is only read never asks for it."""
    for chart in charts:
        layouts: dict[str, Json] = {"wide": chart.vega, "narrow": chart.vega_narrow}
        yield DataScript(f"charts/{chart.name}", layouts)
