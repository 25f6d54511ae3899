"""Pictures taken apart: what is seen of an SVG, each part with its place on the page.

In:  SVG as Vega or the program writes it.
Out: texts, lines, circles and areas with what they look like, and numbers for where they are.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from xml.etree import ElementTree as ET

NUMBER = r"-?\d*\.?\d+(?:e-?\d+)?"
SOLID = {"1,0", None}
UNPAINTED = {"none", "transparent", None}
INHERITED = ("fill", "stroke", "stroke-width", "stroke-dasharray", "text-anchor", "font-size")

Look = tuple[str, ...]
Place = tuple[float, ...]


@dataclass(frozen=True)
class Seen:
    """What a picture shows, and its width and height."""

    parts: Mapping[Look, list[Place]]
    size: tuple[float, float]


@dataclass(frozen=True)
class Frame:
    """Where a group is; turned, it is read from below to above."""

    x: float = 0
    y: float = 0
    is_turned: bool = False

    def inside(self, transform: str) -> Frame:
        """A group in this one."""
        frame = self
        for kind, text in re.findall(r"(\w+)\(([^)]*)\)", transform):
            numbers = [float(number) for number in re.findall(NUMBER, text)]
            if kind == "translate":
                frame = Frame(*frame.at(numbers[0], numbers[1]), frame.is_turned)
            else:
                frame = Frame(frame.x, frame.y, is_turned=True)
        return frame

    def at(self, x: float, y: float) -> tuple[float, float]:
        """A point of the group on the page."""
        return (self.x + y, self.y - x) if self.is_turned else (self.x + x, self.y + y)


def seen(svg: str) -> Seen:
    """Everything that is painted."""
    root = ET.fromstring(svg)  # noqa: S314 -- drawn by the tests themselves
    parts = defaultdict(list)
    for look, place in _painted(root, Frame(), {}):
        parts[look].append(place)
    _, _, width, height = map(float, root.attrib["viewBox"].split())
    return Seen(parts, (width, height))


def _painted(
    element: ET.Element, around: Frame, given: Mapping[str, str]
) -> Iterator[tuple[Look, Place]]:
    tag = element.tag.rpartition("}")[2]
    if tag in {"title", "desc", "defs"} or element.get("opacity") == "0":
        return
    frame = around.inside(element.get("transform", ""))
    look = {**given, **{key: element.attrib[key] for key in INHERITED if key in element.attrib}}
    yield from _own(tag, element, frame, look)
    for child in element if tag != "text" else ():
        yield from _painted(child, frame, look)


def _own(
    tag: str, element: ET.Element, frame: Frame, look: Mapping[str, str]
) -> Iterator[tuple[Look, Place]]:
    fill, stroke = (look.get(key) for key in ("fill", "stroke"))
    dash = (look.get("stroke-dasharray") or "1,0").replace(" ", ",")
    line = (str(stroke), str(float(look.get("stroke-width", "1"))), dash)
    number = {
        key: float(element.get(key, 0)) for key in ("x", "y", "x1", "x2", "y1", "y2", "cx", "cy")
    }
    if tag == "text":
        words = look.get("text-anchor", "start"), str(fill), look.get("font-size", "")
        for text, y in _lines(element):
            yield ("text", text, *words), frame.at(number["x"], number["y"] + y)
    elif tag == "line":
        ends = frame.at(number["x1"], number["y1"]), frame.at(number["x2"], number["y2"])
        yield ("line", *line), _segment(*ends)
    elif tag == "circle":
        yield ("circle", str(fill), *line), frame.at(number["cx"], number["cy"])
    elif tag == "path" and not {fill, stroke} <= UNPAINTED:
        yield from _path(element.attrib["d"], frame, fill, line)


def _lines(element: ET.Element) -> Iterator[tuple[str, float]]:
    if element.text:
        yield element.text, 0.0
    down = 0.0
    for part in element:
        down += float(part.get("dy", 0))
        yield part.text or "", down


def _path(
    path: str, frame: Frame, fill: str | None, line: tuple[str, ...]
) -> Iterator[tuple[Look, Place]]:
    if "A" in path:  # Vega's circles, around their own middle
        yield ("circle", str(fill), *line), frame.at(0, 0)
        return
    for outline in re.findall(r"M[^M]*", path):
        points = list(_points(outline))
        if line[0] in {"None", "none"}:
            corners = [frame.at(*point) for point in points]
            (left, top), (right, bottom) = (
                [find(sides) for sides in zip(*corners, strict=True)] for find in (min, max)
            )
            yield ("area", str(fill)), (left, top, right, bottom)
        else:
            ends = [frame.at(*point) for point in points]
            for one, other in pairwise(ends):
                if one != other:
                    yield ("line", *line), _segment(one, other)


def _points(outline: str) -> Iterator[tuple[float, float]]:
    """The corners of a path of straight lines."""
    x = y = 0.0
    start = None
    for command, text in re.findall(r"([MLHVhvZz])([^MLHVhvZz]*)", outline):
        numbers = [float(number) for number in re.findall(NUMBER, text)]
        match command:
            case "M" | "L":
                x, y = numbers
            case "H":
                x = numbers[0]
            case "V":
                y = numbers[0]
            case "h":
                x += numbers[0]
            case "v":
                y += numbers[0]
            case _:
                x, y = start or (x, y)
        start = start or (x, y)
        yield x, y


def _segment(one: tuple[float, float], other: tuple[float, float]) -> Place:
    first, last = sorted((one, other))
    return (*first, *last)
