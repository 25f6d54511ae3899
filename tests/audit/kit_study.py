"""Whether the stills of a kit say what they are meant to, read by a program that knows no scene.

In:  a kit, as it lies on the disk; Debian's ``tesseract``.
Out: how many stills of 1080 lines it was tried on, in how many the name, and the one big number,
     were read; those in which one was not.

What should be read is taken from the SVG of each still, and where the number stands: small figures
are read in place, but large ones must be cut out and made smaller, or they are taken for a drawing.
"""

from __future__ import annotations

import io
import re
import subprocess
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from xml.etree import ElementTree as ET

from PIL import Image, ImageOps

SVG_TEXT = "{http://www.w3.org/2000/svg}text"
NUMBER_PX, NAME_PX = 150, 45
READABLE_PX = 60
ADVANCE = 0.6  # of the numerals' face, in sizes of type
SCATTERED = "11"  # how tesseract is to look at a picture: words anywhere
ONE = ("8", "7")  # one word, one line: each reads digits that the other takes for letters
NOT_READ = re.compile(r"[\W_]+")


@dataclass(frozen=True)
class Read:
    """One still: whether its name and its number were read."""

    still: str
    has_name: bool
    has_number: bool


def study(kit: Path) -> Iterator[tuple[str, str]]:
    """Lines for the table of figures."""
    read = [_read(svg) for svg in sorted((kit / "stills").glob("*.svg"))]
    missed = [one.still for one in read if not (one.has_name and one.has_number)]
    yield "stills of a kit that tesseract was tried on", str(len(read))
    yield "in which it read the name", str(sum(one.has_name for one in read))
    yield "in which it read the one big number", str(sum(one.has_number for one in read))
    yield "those in which one was missed", ", ".join(missed) or "none"


def _read(svg: Path) -> Read:
    texts = [one for one in ET.parse(svg).iter(SVG_TEXT) if one.text]  # noqa: S314 -- our own
    bold = [one for one in texts if one.get("font-weight") == "700"]
    name = " ".join(one.text or "" for one in bold if _size(one) >= NAME_PX)
    (number,) = [one for one in texts if _size(one) == NUMBER_PX]
    with Image.open(svg.with_suffix(".png")) as opened:
        still = opened.convert("L")
    part, wanted = _cut_out(still, number), _plain(number.text or "")
    return Read(
        svg.stem,
        _plain(name) in _plain(_words(still, SCATTERED)),
        any(_plain(_words(part, how)) == wanted for how in ONE),
    )


def _size(text: ET.Element) -> int:
    return int(text.get("font-size", "0"))


def _cut_out(still: Image.Image, number: ET.Element) -> Image.Image:
    right, base = int(number.get("x", "0")), int(number.get("y", "0"))
    width = round(len(number.text or "") * ADVANCE * NUMBER_PX)
    part = still.crop((right - width - 20, base - NUMBER_PX, right + 20, base + 20))
    if part.getpixel((0, 0)) < 128:  # type: ignore[operator]  # dark paper
        part = ImageOps.invert(part)
    times = READABLE_PX / part.height
    return part.resize((round(part.width * times), READABLE_PX), Image.Resampling.LANCZOS)


def _words(picture: Image.Image, how: str) -> str:
    done = subprocess.run(
        ["tesseract", "stdin", "stdout", "--psm", how],
        input=_png(picture),
        capture_output=True,
        check=True,
    )
    return done.stdout.decode()


def _png(picture: Image.Image) -> bytes:
    target = io.BytesIO()
    picture.save(target, "PNG")
    return target.getvalue()


def _plain(text: str) -> str:
    """Letters and digits alone, without case."""
    return NOT_READ.sub("", text).casefold()
