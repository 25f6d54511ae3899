"""Rules for photos: the picture is in the day's folder, can be read, and gives no place away.

In:  the rows of ``photos.csv`` and the pictures they name.
Out: findings; a picture with a location in it is a warning, as the published copy has none.
"""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from enum import Enum
from functools import lru_cache
from pathlib import Path

from trialpress.bench import SavedFile, saved_file
from trialpress.intake.findings import Finding, FindingCode, found
from trialpress.intake.rows import PhotoRecord
from trialpress.intake.rules.records import BenchRecords
from trialpress.paths import Destination, destination_of

_FORMATS = ("JPEG", "PNG", "WEBP")
_THUMBNAIL = (64, 64)
_REMEMBERED = 10_000
_GPS = 0x8825  # the EXIF tag under which a camera files where it was
_BROKEN = (OSError, SyntaxError, ValueError, EOFError, LookupError, TypeError, OverflowError)


class _Picture(Enum):
    FINE = "fine"
    LOCATED = "located"
    UNREADABLE = "unreadable"


def check_photos(records: BenchRecords) -> Iterator[Finding]:
    """Check each photo's file."""
    for photo in records.photos:
        yield from _check_photo(photo, records.days_folder)


def _check_photo(photo: PhotoRecord, days_folder: Path) -> Iterator[Finding]:
    folder = days_folder / str(photo.row.day)
    place = photo.place("file")
    destination = destination_of(photo.file, folder)
    if destination is not Destination.INSIDE:
        variant = destination.value
        yield found(FindingCode.PHOTO_OUTSIDE, place, photo.file, variant=variant)
    elif not (folder / photo.file).is_file():
        yield found(FindingCode.PHOTO_MISSING, place, photo.file, day=photo.row.day)
    else:
        try:
            picture = _look_at(saved_file(folder / photo.file))
        except OSError:  # it may be there and not be ours to read
            picture = _Picture.UNREADABLE
        if picture is _Picture.UNREADABLE:
            yield found(FindingCode.PHOTO_UNREADABLE, place, photo.file)
        if picture is _Picture.LOCATED:
            yield found(FindingCode.PHOTO_LOCATION, place, photo.file)


@lru_cache(maxsize=_REMEMBERED)
def _look_at(file: SavedFile) -> _Picture:
    """Decode the picture, small where its format allows that, to know that it is whole."""
    from PIL import Image  # noqa: PLC0415, only benches with photos need it

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of damaged EXIF, say, which is not published anyway
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(file.path, formats=_FORMATS) as image:
                has_place = bool(image.getexif().get_ifd(_GPS)) or _has_gps_text(image.info)
                image.draft("RGB", _THUMBNAIL)
                image.load()
    except (*_BROKEN, Image.DecompressionBombWarning, Image.DecompressionBombError):
        return _Picture.UNREADABLE
    return _Picture.LOCATED if has_place else _Picture.FINE


def _has_gps_text(info: dict[str | tuple[int, int], object]) -> bool:
    """Whether the picture's XMP, a text that cameras and editors add, speaks of a place."""
    texts = [info.get("xmp"), info.get("XML:com.adobe.xmp")]
    return any("GPSLatitude" in str(text) for text in texts if text)
