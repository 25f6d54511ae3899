"""The photos of a few runs.

In:  the slots, and the readings of the runs that are shown.
Out: rows of ``photos.csv`` by bench day, and the pictures as JPEG.
"""

from __future__ import annotations

import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from PIL import Image

from demo.incidents import RunKey
from demo.pictures import (
    balance_picture,
    boards_picture,
    hair_picture,
    rug_picture,
    stain_picture,
)
from demo.readings import stream
from demo.rows import Count, Grading, Photo, Reading, Weighing
from demo.schedule import Slot
from demo.text_table import read_cells

_PHOTOS = """
photo             | setup            | protocol | version | replicate | shows
rug-before        | aluen-6-bristle  | deep-rug | 2       | 1         | before
rug-bristle-after | aluen-6-bristle  | deep-rug | 2       | 1         | after
rug-roller-after  | aluen-6-roller   | deep-rug | 2       | 1         | after
bin-on-balance    | torvek-80-stock  | deep-rug | 2       | 1         | balance
swapped-masses    | kelbrin-14-stock | deep-rug | 1       | 2         | balance
gaps-after        | torvek-60-stock  | crevices | 1       | 1         | after
gaps-wet-after    | mosqua-2-stock   | crevices | 1       | 1         | after
mat-after         | nibb-200-stock   | hair     | 2       | 1         | after
stains-after      | oriq-3-stock     | stain    | 1       | 1         | after
stains-washed     | undrey-1-stock   | stain    | 1       | 1         | after
"""

_CAPTIONS = """
photo             | caption
rug-before        | The moss rug with the dose worked in, before the first pass.
rug-bristle-after | The same lane after seven passes with the bristle bar.
rug-roller-after  | The lane after seven passes with the soft roller.
bin-on-balance    | The dust container after the run, on the oak balance.
swapped-masses    | The display that settled which of two masses was read after the run.
gaps-after        | Grit left in the gaps after three passes.
gaps-wet-after    | Hardly any grit left after three passes with the wet roller.
mat-after         | Strands still lying on the mat after three passes.
stains-after      | Twenty patches after four passes with the flat pad.
stains-washed     | Twenty patches after four passes with the washing roller.
"""

_ALTS = """
photo             | alt
rug-before        | Green rug seen from above, a broad grey lane of dust down its middle.
rug-bristle-after | Green rug seen from above, a faint trace of dust down its middle.
rug-roller-after  | Green rug seen from above, a thin veil of dust down its middle.
bin-on-balance    | Half-filled dust container on a balance; the display reads {0.after_g} g.
swapped-masses    | Dust container on a balance; the display reads {0.after_g} g.
gaps-after        | Wooden boards with eleven dark gaps, grey grains in each of them.
gaps-wet-after    | Wooden boards with eleven dark gaps, a grain in one or two of them.
mat-after         | Dark ribbed mat with pale strands lying across it.
stains-after      | Pale tiles, four rows of five patches, some red, some nearly gone.
stains-washed     | Pale tiles, four rows of five patches, nearly all of them gone.
"""

_WITH_LOCATION = "gaps-after"
_GPS_TAG = 0x8825
# Degrees, minutes and seconds of a spot in the middle of an ocean.
_NOWHERE = {1: "N", 2: (0.0, 0.0, 0.0), 3: "W", 4: (30.0, 0.0, 0.0)}


@dataclass(frozen=True)
class Snapshot:
    """One photo: its row, and the bytes of its file."""

    row: Photo
    jpeg: bytes


def snapshots(
    slots: Sequence[Slot], readings: Mapping[str, Sequence[Reading]]
) -> dict[str, list[Snapshot]]:
    """Photos by the folder of their bench day."""
    by_key = {slot.key: slot for slot in slots}
    captions = {cells["photo"]: cells["caption"] for cells in read_cells(_CAPTIONS)}
    alts = {cells["photo"]: cells["alt"] for cells in read_cells(_ALTS)}
    found: dict[str, list[Snapshot]] = {}
    for cells in read_cells(_PHOTOS):
        name, setup, protocol, version, replicate, shows = cells.values()
        slot = by_key[RunKey(setup, protocol, version, replicate)]
        rows = readings[slot.run]
        alt = alts[name].format(rows[0])
        row = Photo(name, slot.run, None, f"photos/{name}.jpg", captions[name], alt)
        picture = _picture(name, rows, shows)
        jpeg = _jpeg(picture, has_location=name == _WITH_LOCATION)
        found.setdefault(slot.day.folder, []).append(Snapshot(row, jpeg))
    return found


def _picture(name: str, rows: Sequence[Reading], shows: str) -> Image.Image:
    """The picture of a run, drawn from what was read in it."""
    draws = stream("photo", name)
    match rows[0]:
        case Weighing() as row if shows == "balance":
            return balance_picture(draws, row.after_g)
        case Weighing(blank_g="") as row:
            return rug_picture(draws, 100.0 if shows == "before" else 100 - _gain_pct(row))
        case Weighing() as row:
            return boards_picture(draws, _gain_pct(row))
        case Count() as row:
            return hair_picture(draws, int(row.tries) - int(row.hits))
        case _:
            graded = [row for row in rows if isinstance(row, Grading)]
            return stain_picture(draws, [int(row.grade) for row in graded if row.grader == "iv"])


def _gain_pct(row: Weighing) -> float:
    """Mass gained as a share of the dose, the control's gain taken off."""
    gain_g = float(row.after_g) - float(row.before_g) - float(row.blank_g or 0)
    return 100 * gain_g / float(row.dose_g)


def _jpeg(picture: Image.Image, *, has_location: bool) -> bytes:
    exif = Image.Exif()
    if has_location:
        exif[_GPS_TAG] = _NOWHERE
    file = io.BytesIO()
    picture.save(file, "JPEG", quality=80, optimize=True, exif=exif)
    return file.getvalue()
