"""Published copies of photos."""

from __future__ import annotations

import struct
from pathlib import Path
from zlib import crc32

import pytest
from PIL import Image

from trialpress.ordinary_file import OddFileError
from trialpress.site.photos import bare_photo, publish_photos
from trialpress.view.typed import Photo

ORIENTATION, MAKE, GPS = 0x0112, 0x010F, 0x8825
TURN_RIGHT = 6


def a_photo(days: Path, *, size: tuple[int, int]) -> Photo:
    """A photo with a maker, a location and an orientation in it, white but for its top left."""
    file = days / "2031-03-02-hall" / "photos" / "after.jpg"
    file.parent.mkdir(parents=True)
    image = Image.new("RGB", size, "white")
    image.paste("black", (0, 0, size[0] // 2, size[1] // 2))
    exif = image.getexif()
    exif[ORIENTATION] = TURN_RIGHT
    exif[MAKE] = "Invented"
    exif.get_ifd(GPS)[1] = "N"
    image.save(file, exif=exif, comment=b"at home")
    return Photo("after", "r1", "2031-03-02-hall", "photos/after.jpg", "After", "A floor")


def test_a_copy_is_upright_and_carries_nothing_but_its_picture(tmp_path: Path) -> None:
    photo = a_photo(tmp_path / "days", size=(60, 40))

    (copy,) = publish_photos([photo], tmp_path / "days", tmp_path / "site").values()

    with Image.open(tmp_path / "site" / copy.url) as published:
        assert published.size == (40, 60) == (copy.width_px, copy.height_px)
        assert not published.getexif()
        assert set(published.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
        # turned to the right, what was at the top left is at the top right
        top_left, top_right = published.getpixel((2, 2)), published.getpixel((37, 2))
    assert isinstance(top_left, tuple)
    assert isinstance(top_right, tuple)
    assert min(top_left) > 240
    assert max(top_right) < 15


def test_a_large_photo_is_made_smaller_and_two_copies_are_the_same_bytes(tmp_path: Path) -> None:
    photo = a_photo(tmp_path / "days", size=(3200, 800))

    copies = [
        publish_photos([photo], tmp_path / "days", tmp_path / name)["after"]
        for name in ("one", "two")
    ]

    assert (copies[0].width_px, copies[0].height_px) == (400, 1600)
    assert (tmp_path / "one" / copies[0].url).read_bytes() == (
        tmp_path / "two" / copies[1].url
    ).read_bytes()


def png_of(width: int, height: int) -> bytes:
    """The beginning of a picture that says how large it is (PNG, 11.2.2)."""
    head = b"IHDR" + struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + struct.pack(">I", 13) + head + struct.pack(">I", crc32(head))


@pytest.mark.filterwarnings("ignore::PIL.Image.DecompressionBombWarning")
@pytest.mark.parametrize(
    "data",
    [
        b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 9 9\n%%EndComments\n9 9 moveto\n",
        png_of(50_000, 50_000),
        png_of(10_000, 10_000),
        png_of(10, 10) + b"\0\0\0\0oops",
        b"GIF89a",
    ],
    ids=["program", "2500 megapixels", "100 megapixels", "broken", "another format"],
)
def test_a_picture_that_does_harm_or_is_none_cannot_be_read(data: bytes, tmp_path: Path) -> None:
    file = tmp_path / "after.jpg"
    file.write_bytes(data)

    with pytest.raises(OSError):  # noqa: PT011  as of any file that cannot be read
        bare_photo(file, tmp_path)


def test_a_photo_that_has_become_a_link_is_not_followed_out_of_the_bench(tmp_path: Path) -> None:
    """As if it had been swapped between the check and the build."""
    secret, days = tmp_path / "secret.png", tmp_path / "bench" / "days"
    days.mkdir(parents=True)
    secret.write_bytes(png_of(10, 10))
    (days / "after.jpg").symlink_to(secret)

    with pytest.raises(OddFileError, match="a link leads out of the bench folder"):
        bare_photo(days / "after.jpg", days)
