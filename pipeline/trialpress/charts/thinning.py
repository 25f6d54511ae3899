"""Pictures made thin: what a browser would read, keep and style without drawing any of it.

In:  an SVG element as Vega writes it.
Out: the same element with fewer parts that looks the same, pixel by pixel.
"""

from __future__ import annotations

from collections.abc import Set as AbstractSet
from xml.etree import ElementTree as ET

SHAPES = {"path", "line", "rect", "text"}
DEFAULTS = {
    "opacity": "1",
    "text-anchor": "start",
    "font-weight": "normal",
    "x2": "0",
    "y2": "0",
    "transform": "translate(0,0)",
}
SHARED = ("fill", "stroke", "stroke-width", "font-family", "font-size", "text-anchor")
STYLED = "role-axis-label"  # the style sheet sets the figures on axes in the face of numerals


def thin(root: ET.Element) -> None:
    """Leave out what cannot be seen, and say once what holds for a whole group."""
    _leave_out_defaults(root)
    _drop_unpainted(root, frozenset())
    _unwrap(root)
    _share(root)


def _tag(element: ET.Element) -> str:
    return element.tag.rpartition("}")[2]


def _leave_out_defaults(root: ET.Element) -> None:
    for element in root.iter():
        for key, value in DEFAULTS.items():
            if element.get(key) == value:
                del element.attrib[key]
        classes = element.attrib.pop("class", "")
        if STYLED in classes.split():
            element.set("class", STYLED)


def _drop_unpainted(parent: ET.Element, painted: AbstractSet[str]) -> None:
    """Shapes without fill and stroke only catch pointers, of which a still picture has none."""
    for child in list(parent):
        if _tag(child) in {"defs", "clipPath"}:
            continue  # shapes that are never painted, but cut others
        paint = {*painted, *_paints(child)} - {key for key in SHARED if child.get(key) == "none"}
        _drop_unpainted(child, paint)
        is_unseen = child.get("display") == "none" or not paint
        if (_tag(child) in SHAPES and is_unseen) or (_tag(child) == "g" and not len(child)):
            parent.remove(child)


def _paints(element: ET.Element) -> set[str]:
    return {key for key in ("fill", "stroke") if element.get(key) not in {None, "transparent"}}


def _unwrap(parent: ET.Element) -> None:
    """Put in place of a group that says nothing what is in it."""
    for child in list(parent):
        _unwrap(child)
        if _tag(child) == "g" and not child.attrib:
            position = list(parent).index(child)
            parent.remove(child)
            for offset, grandchild in enumerate(child):
                parent.insert(position + offset, grandchild)


def _share(group: ET.Element) -> None:
    """Move what all parts of a group agree on to the group."""
    for child in group:
        _share(child)
    if _tag(group) != "g":
        return
    for key in SHARED:
        values = {child.get(key) for child in group}
        if len(values) == 1 and None not in values:
            group.set(key, group[0].attrib[key])
            for child in group:
                del child.attrib[key]
