"""Published copies of the photos: upright, of a sensible size, without any metadata.

In:  the photos the store shows, and the folder of bench days.
Out: ``photos/<photo>.jpg`` in the site, and the size of each for the page; those of a machine, each
     with the run it shows.
"""

from __future__ import annotations

import errno
import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from PIL import Image, ImageOps

from trialpress.bench import SavedFile, saved_file
from trialpress.ordinary_file import read_ordinary
from trialpress.paths import write_below
from trialpress.site import urls
from trialpress.site.frame import Link
from trialpress.view import View
from trialpress.view.typed import Photo
from trialpress.words import figures

LONGEST_SIDE_PX = 1600
JPEG_QUALITY = 82
REMEMBERED = 1000
FORMATS = ("JPEG", "PNG", "WEBP")
"""Some others are read by other programs (EPS), which a photo from elsewhere must not start."""
BROKEN = (
    *(SyntaxError, ValueError, EOFError, LookupError, TypeError, OverflowError),
    Image.DecompressionBombError,
)
"""What the library raises of a picture that is damaged, beside ``OSError``."""
MOST_PIXELS = 90_000_000  # more than any camera's; they all stand in memory at once


@dataclass(frozen=True)
class PhotoFile:
    """The published copy of one photo."""

    url: str
    width_px: int
    height_px: int


def publish_photos(photos: Sequence[Photo], days: Path, folder: Path) -> Mapping[str, PhotoFile]:
    """Write the published copies.

    Parameters
    ----------
    photos : sequence of Photo
        The photos that may be seen; no other is read.
    days : Path
        The folder of bench days that the photos' files lie in.
    folder : Path
        The root of the site.

    Returns
    -------
    mapping
        Address and size of each copy, by the photo's slug.
    """
    return {photo.photo: _publish(photo, days, folder) for photo in photos}


def _publish(photo: Photo, days: Path, folder: Path) -> PhotoFile:
    url, source = urls.photo_url(photo.photo), days / photo.day / photo.file
    copy = _copy_of(saved_file(source), days / photo.day)
    write_below(folder, url, copy.data)
    return PhotoFile(url, *copy.size_px)


@dataclass(frozen=True)
class _Copy:
    """A published copy; ``size_px`` is width and height."""

    data: bytes
    size_px: tuple[int, int]


@lru_cache(maxsize=REMEMBERED)  # a preview publishes the same photos again and again
def _copy_of(file: SavedFile, within: Path) -> _Copy:
    data = read_ordinary(file.path, within=within)
    try:
        with Image.open(io.BytesIO(data), formats=FORMATS) as original:
            if original.width * original.height > MOST_PIXELS:
                raise OSError(errno.EFBIG, "it has more pixels than any camera makes")
            upright = ImageOps.exif_transpose(original).convert("RGB")
    except BROKEN as error:
        raise OSError(errno.EINVAL, str(error), str(file.path)) from error
    upright.thumbnail((LONGEST_SIDE_PX, LONGEST_SIDE_PX))
    bare = Image.new("RGB", upright.size)
    bare.paste(upright)  # pixels alone: whatever else the file carried stays behind
    written = io.BytesIO()
    bare.save(written, "JPEG", quality=JPEG_QUALITY, optimize=True)
    return _Copy(written.getvalue(), bare.size)


def bare_photo(file: Path, within: Path) -> bytes:
    """A photo as it would be published: upright, small enough, its pixels alone.

    ``within`` is the folder that it has to lie in, wherever links lead.

    Raises
    ------
    OSError
        If it cannot be read, lies elsewhere, is in another format, or has more pixels than any
        camera makes.
    """
    return _copy_of(saved_file(file), within).data


@dataclass(frozen=True)
class RunPhoto:
    """The published copy of a photo, and the run it shows."""

    url: str
    width_px: int
    height_px: int
    caption: str
    alt: str
    run: Link


def photos_of_machine(
    view: View, published: Mapping[str, PhotoFile], machine: str
) -> tuple[RunPhoto, ...]:
    """The photos of the runs of all set-ups of one machine, oldest day first."""
    photos = []
    for photo in view.photos:
        run = view.run[photo.run]
        if view.setup[run.setup].machine != machine:
            continue
        copy = published[photo.photo]
        series = view.series[(run.protocol, run.series_version)].name.full
        words = f"{series}, {figures.moment(run.at)}"
        photos.append(
            RunPhoto(
                url=copy.url,
                width_px=copy.width_px,
                height_px=copy.height_px,
                caption=photo.caption,
                alt=photo.alt,
                run=Link(words, urls.run_url(machine, run.run)),
            )
        )
    return tuple(photos)
