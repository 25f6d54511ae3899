"""Photos: whole or not, with or without the place they were taken at.

In:  pictures made for the purpose.
Out: findings.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image, PngImagePlugin

from examples import examples
from intake.broken import FOLDERS
from intake.typed_rows import DAY, records_of
from trialpress.intake import FindingCode
from trialpress.intake.rows import Row
from trialpress.intake.rules.photos import check_photos

LOCATED = (FOLDERS / "pictures" / "located.jpg").read_bytes()


def codes(name: str, data: bytes, folder: Path) -> list[FindingCode]:
    (folder / DAY).mkdir(exist_ok=True)
    (folder / DAY / name).write_bytes(data)
    cells = {"photo": "after", "run": "hall-01", "file": name, "caption": "c", "alt": "a"}
    row = Row("photos", f"data/days/{DAY}/photos.csv", 2, DAY, date(2031, 3, 2), cells)
    facts = replace(records_of(row), days_folder=folder)
    return [finding.code for finding in check_photos(facts)]


def picture(folder: Path, kind: str, size: tuple[int, int] = (40, 30), **options: object) -> bytes:
    path = folder / f"made.{kind.lower()}"
    Image.effect_noise(size, 60).convert("RGB").save(path, kind, **options)
    return path.read_bytes()


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_ordinary_pictures_are_fine(kind: str, tmp_path: Path) -> None:
    assert codes("a.jpg", picture(tmp_path, kind), tmp_path) == []


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_half_a_picture_is_unreadable(kind: str, tmp_path: Path) -> None:
    whole = picture(tmp_path, kind, (400, 300))

    assert codes("a.jpg", whole[: len(whole) // 2], tmp_path) == [FindingCode.PHOTO_UNREADABLE]


@pytest.mark.parametrize("data", [b"", b"x", b"%PDF-1.7", b"<svg xmlns='x'/>"])
def test_what_is_no_picture_is_unreadable(data: bytes, tmp_path: Path) -> None:
    assert codes("a.jpg", data, tmp_path) == [FindingCode.PHOTO_UNREADABLE]


def test_a_picture_that_is_saved_anew_is_looked_at_anew(tmp_path: Path) -> None:
    whole = picture(tmp_path, "JPEG")

    assert codes("a.jpg", whole, tmp_path) == []
    assert codes("a.jpg", bytes(len(whole)), tmp_path) == [FindingCode.PHOTO_UNREADABLE]
    assert codes("a.jpg", LOCATED, tmp_path) == [FindingCode.PHOTO_LOCATION]


def test_other_kinds_of_picture_are_unreadable(tmp_path: Path) -> None:
    assert codes("a.gif", picture(tmp_path, "GIF"), tmp_path) == [FindingCode.PHOTO_UNREADABLE]


def test_a_picture_of_absurd_size_is_unreadable(tmp_path: Path) -> None:
    path = tmp_path / "huge.png"
    Image.new("1", (14_000, 14_000)).save(path)

    assert codes("a.png", path.read_bytes(), tmp_path) == [FindingCode.PHOTO_UNREADABLE]


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_a_location_in_exif_is_a_warning(kind: str, tmp_path: Path) -> None:
    exif = Image.Exif()
    exif[0x0112] = 1  # orientation; without another entry a PNG is saved without EXIF
    exif.get_ifd(0x8825)[1] = "N"
    exif.get_ifd(0x8825)[2] = (48.0, 12.0, 0.0)

    data = picture(tmp_path, kind, exif=exif)

    assert codes("a.jpg", data, tmp_path) == [FindingCode.PHOTO_LOCATION]


def test_a_location_in_xmp_is_a_warning(tmp_path: Path) -> None:
    text = PngImagePlugin.PngInfo()
    text.add_itxt("XML:com.adobe.xmp", '<x exif:GPSLatitude="48,12.0N"/>')

    data = picture(tmp_path, "PNG", pnginfo=text)

    assert codes("a.png", data, tmp_path) == [FindingCode.PHOTO_LOCATION]


def test_exif_without_a_location_is_fine(tmp_path: Path) -> None:
    exif = Image.Exif()
    exif[0x0112] = 6  # orientation

    assert codes("a.jpg", picture(tmp_path, "JPEG", exif=exif), tmp_path) == []


@settings(
    max_examples=examples(150),
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(start=st.integers(2, len(LOCATED) - 1), junk=st.binary(min_size=1, max_size=12))
def test_no_damage_to_a_picture_makes_the_check_fail(
    start: int, junk: bytes, tmp_path: Path
) -> None:
    damaged = LOCATED[:start] + junk + LOCATED[start + len(junk) :]

    assert len(codes("a.jpg", damaged, tmp_path)) <= 1
