"""Compiled charts as pictures that a page can hold as they are.

In:  compiled Vega specifications, wide and narrow, and the words that go with them.
Out: a ``Chart``; its SVGs have a role, a title and a description, and no style attributes.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256
from xml.etree import ElementTree as ET

from trialpress.charts.chart import Chart, Json
from trialpress.charts.lettering import draw_svg
from trialpress.charts.thinning import thin

SVG = "http://www.w3.org/2000/svg"
LONG_FRACTION = re.compile(r"-?\d+\.\d{3,}(?:e-?\d+)?")
REFERENCE = re.compile(r"(?<=#)[\w-]+")
MOST_KEPT = 1000  # pictures, of some 20 kB: those of a hundred machines
_KEPT: dict[bytes, str] = {}
"""What this process has drawn, oldest first: a build after a change draws what changed."""

ET.register_namespace("", SVG)


@dataclass(frozen=True)
class ChartWords:
    """What a chart is called, shows, and how it is read; see ``Chart``."""

    name: str
    title: str
    description: str
    caption: str


def draw_chart(words: ChartWords, *, wide: dict[str, Json], narrow: dict[str, Json]) -> Chart:
    """A chart with both its pictures."""
    said = {"title": words.title, "description": words.description}
    return Chart(
        name=words.name,
        title=words.title,
        description=words.description,
        caption=words.caption,
        svg=draw_picture(wide, name=words.name, **said),
        svg_narrow=draw_picture(narrow, name=f"narrow-{words.name}", **said),
        vega=wide,
        vega_narrow=narrow,
    )


def draw_picture(
    specification: Mapping[str, Json], *, name: str, title: str, description: str
) -> str:
    """Draw one chart.

    Parameters
    ----------
    specification : mapping
        Compiled Vega with its data inside; nothing is fetched.
    name : str
        Slug that no other picture of the same page has; every id starts with it.
    title, description : str
        Accessible name and description.

    Returns
    -------
    str
        One ``svg`` element, the same text for the same arguments, whatever was drawn before.
    """
    words = (name, title, description)
    key = sha256(json.dumps([words, specification]).encode()).digest()
    if key not in _KEPT:
        if len(_KEPT) == MOST_KEPT:
            del _KEPT[next(iter(_KEPT))]
        _KEPT[key] = _draw(specification, *words)
    return _KEPT[key]


def _draw(specification: Mapping[str, Json], name: str, title: str, description: str) -> str:
    root = draw_svg(specification)
    _renumber(root, name)
    for element in root.iter():
        _tidy(element)
    thin(root)
    _introduce(root, name, title, description)
    return ET.tostring(root, encoding="unicode")


def _renumber(root: ET.Element, name: str) -> None:
    """Ids come from a counter that runs on from chart to chart: count afresh."""
    identified = [element for element in root.iter() if "id" in element.attrib]
    new = {e.attrib["id"]: f"{name}-{number}" for number, e in enumerate(identified, start=1)}
    for element in root.iter():
        for key, value in element.attrib.items():
            if key == "id":
                element.set(key, new[value])
            elif "#" in value:
                element.set(key, REFERENCE.sub(lambda m: new.get(m[0], m[0]), value))


def _tidy(element: ET.Element) -> None:
    """Parts of one picture say nothing for themselves; a hundredth of a pixel is enough."""
    for key in ("role", "aria-roledescription", "aria-hidden", "aria-label", "pointer-events"):
        element.attrib.pop(key, None)
    for key in ("d", "transform", "x", "y", "x1", "x2", "y1", "y2", "width", "height"):
        if key in element.attrib:
            element.set(key, LONG_FRACTION.sub(_hundredths, element.attrib[key]))


def _hundredths(match: re.Match[str]) -> str:
    return f"{round(float(match[0]), 2) + 0.0:g}"


def _introduce(root: ET.Element, name: str, title: str, description: str) -> None:
    del root.attrib["height"]
    root.attrib.pop("class", None)
    root.attrib.pop("version", None)
    root.set("width", "100%")
    root.set("role", "img")
    root.set("aria-labelledby", f"{name}-title")
    root.set("aria-describedby", f"{name}-desc")
    for position, (tag, words) in enumerate((("title", title), ("desc", description))):
        element = ET.Element(f"{{{SVG}}}{tag}", {"id": f"{name}-{tag}"})
        element.text = words
        root.insert(position, element)
