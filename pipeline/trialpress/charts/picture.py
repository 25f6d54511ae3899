"""Compiled charts as pictures that a page can hold as they are.

In:  compiled Vega specifications, wide and narrow, and the words that go with them.
Out: a ``Chart``; its SVGs have a role, a title and a description, and no style attributes.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from xml.etree import ElementTree as ET

from trialpress.charts.chart import Chart, Json
from trialpress.charts.lettering import draw_svg
from trialpress.charts.thinning import thin
from trialpress.products import Products

SVG = "http://www.w3.org/2000/svg"
LONG_FRACTION = re.compile(r"-?\d+\.\d{3,}(?:e-?\d+)?")
REFERENCE = re.compile(r"(?<=#)[\w-]+")

ET.register_namespace("", SVG)


@dataclass(frozen=True)
class ChartWords:
    """What a chart is called, shows, and how it is read; see ``Chart``."""

    name: str
    title: str
    description: str
    caption: str
    finding: str = ""


@dataclass(frozen=True)
class ChartDraft:
    """A chart with all that is in it, its pictures not drawn yet.

    ``stills`` are what the pictures show where that is less than a live chart: wide and narrow.
    """

    words: ChartWords
    wide: dict[str, Json]
    narrow: dict[str, Json]
    stills: tuple[dict[str, Json], dict[str, Json]] | None = None


@dataclass(frozen=True)
class PictureOrder:
    """One picture to be drawn.

    Attributes
    ----------
    specification : dict
        Compiled Vega with its data inside; nothing is fetched.
    name : str
        Slug that no other picture of the same page has; every id starts with it.
    title, description : str
        Accessible name and description.
    """

    specification: dict[str, Json]
    name: str
    title: str
    description: str


def draw_all(drafts: Sequence[ChartDraft], products: Products) -> Mapping[str, Chart]:
    """Every chart with both its pictures, by its name."""
    orders = [order for draft in drafts for order in _orders(draft)]
    pictures = [svg.decode() for svg in products.make(draw_picture, orders, each_s=0.04)]
    pairs = zip(drafts, pictures[::2], pictures[1::2], strict=True)
    return {draft.words.name: _chart(draft, wide, narrow) for draft, wide, narrow in pairs}


def _orders(draft: ChartDraft) -> tuple[PictureOrder, PictureOrder]:
    name, words = draft.words.name, (draft.words.title, draft.words.description)
    wide, narrow = draft.stills or (draft.wide, draft.narrow)
    return PictureOrder(wide, name, *words), PictureOrder(narrow, f"narrow-{name}", *words)


def _chart(draft: ChartDraft, wide: str, narrow: str) -> Chart:
    return Chart(
        name=draft.words.name,
        title=draft.words.title,
        description=draft.words.description,
        caption=draft.words.caption,
        svg=wide,
        svg_narrow=narrow,
        vega=draft.wide,
        vega_narrow=draft.narrow,
        finding=draft.words.finding,
    )


def draw_picture(order: PictureOrder) -> bytes:
    """One ``svg`` element, the same bytes for the same order, whatever was drawn before."""
    root = draw_svg(order.specification)
    _renumber(root, order.name)
    for element in root.iter():
        _tidy(element)
    thin(root)
    _introduce(root, order.name, order.title, order.description)
    return ET.tostring(root, encoding="unicode").encode()


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
