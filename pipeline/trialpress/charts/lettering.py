"""Words of a chart, drawn as single letters and put into the picture afterwards.

In:  a compiled Vega specification with its data inside.
Out: the SVG that Vega would draw from it, in a third of the time.

The renderer measures every text to learn how far a picture reaches, and opens the font file anew
for every letter of it. Words that begin a row or head a panel have their room, so that measuring
them changes nothing: a single letter stands in for each of their lines.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import Any
from xml.etree import ElementTree as ET

import vl_convert

from trialpress.charts.chart import Json
from trialpress.charts.fitting import text_width
from trialpress.charts.theme import TEXT_SIZE

WORDED = ("heading", "label", "name", "places", "words")
"""The columns of data that text marks and headings show."""
ROOM_PX = 260
"""Every panel has it, and every ladder beside the words of its key; wider words are measured."""
LETTERS = "".join(letter for letter in map(chr, range(0xC0, 0x514)) if letter.isalpha())
"""Latin, Greek and Cyrillic letters, which the face of the charts has."""


def draw_svg(specification: Mapping[str, Json]) -> ET.Element:
    """Draw a chart; nothing is fetched.

    Parameters
    ----------
    specification : mapping
        Compiled Vega.

    Returns
    -------
    Element
        The ``svg`` element, as Vega writes it but for labels on parts of the picture.
    """
    drawn: dict[str, Any] = json.loads(json.dumps(specification))
    words = _letter(drawn)
    root = ET.fromstring(vl_convert.vega_to_svg(drawn, allowed_base_urls=[]))  # noqa: S314 -- our own
    for element in root.iter():
        if element.text in words:
            element.text = words[element.text]
    return root


def _letter(specification: dict[str, Any]) -> dict[str, str]:
    """Put letters in the place of words; returns the words by letter."""
    taken = set(json.dumps(specification, ensure_ascii=False))
    free = (letter for letter in LETTERS if letter not in taken)
    letters: dict[str, str] = {}
    for row in _rows(specification):
        for column in WORDED:
            if isinstance(text := row.get(column), str):
                row[column] = "\n".join(_stand_in(line, letters, free) for line in text.split("\n"))
    return {letter: line for line, letter in letters.items()}


def _rows(specification: Mapping[str, Any]) -> Iterator[dict[str, Any]]:
    for data in specification.get("data", []):
        values = data.get("values", [])
        yield from values if isinstance(values, list) else []


def _stand_in(line: str, letters: dict[str, str], free: Iterator[str]) -> str:
    """The letter of a line; the line itself where it is short or wide, or no letter is left."""
    if len(line) > 1 and line not in letters and text_width(line, TEXT_SIZE) <= ROOM_PX:
        letters[line] = next(free, line)
    return letters.get(line, line)
