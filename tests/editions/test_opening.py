"""An archive from anywhere does no harm: each trick is refused before anything is unpacked."""

from __future__ import annotations

import os
import stat
from collections.abc import Callable
from datetime import date
from pathlib import Path
from zipfile import ZIP_BZIP2, ZIP_DEFLATED, ZipFile, ZipInfo

import pytest

from trialpress.bench import Bench
from trialpress.editions import (
    NotReadError,
    UnsafeArchiveError,
    opened_archive,
    read_editions,
)
from trialpress.editions.opening import MOST_FILES

Trick = Callable[[ZipFile], None]


def entry(name: str, mode: int = stat.S_IFREG | 0o644) -> ZipInfo:
    made = ZipInfo(name)
    made.external_attr = mode << 16
    made.compress_type = ZIP_DEFLATED
    return made


def names(*entries: str) -> Trick:
    def trick(archive: ZipFile) -> None:
        for name in entries:
            archive.writestr(entry(name), "x")

    return trick


def link(archive: ZipFile) -> None:
    archive.writestr(entry("top/readme", stat.S_IFLNK | 0o777), "/etc/passwd")


def bomb(archive: ZipFile) -> None:
    archive.writestr(entry("top/zeros.csv"), bytes(1000))
    archive.infolist()[0].file_size = 1 << 40  # as the directory at the end then says


def shared(archive: ZipFile) -> None:
    archive.writestr(entry("top/a.csv"), "x" * 100)
    archive.writestr(entry("top/b.csv"), "y" * 100)
    archive.infolist()[1].header_offset = archive.infolist()[0].header_offset


def many(archive: ZipFile) -> None:
    for number in range(MOST_FILES + 1):
        archive.writestr(f"top/{number}", b"")


def other_method(archive: ZipFile) -> None:
    archive.writestr(entry("top/a.csv"), "x", compress_type=ZIP_BZIP2)


TRICKS = (
    (names("top/a", "../evil"), "would lead out of its folder"),
    (names("top/../../evil"), "would lead out of its folder"),
    (names("/etc/evil"), "would lead out of its folder"),
    (names("C:/evil"), "would lead out of its folder"),
    (names("top\\..\\evil"), "would lead out of its folder"),
    (names("top/a\nb"), "would lead out of its folder"),
    (names("top//a"), "written oddly"),
    (names("top/./a"), "written oddly"),
    (names("top/a", "top/A"), "have one name"),
    (names("top/a", "other/b"), "not one folder"),
    (names("a"), "not one folder"),
    (link, "is a link"),
    (bomb, "would unpack to 1,099,511,627,776"),
    (shared, "shares bytes"),
    (many, "5,001 entries"),
    (other_method, "packed in a way that editions are not"),
)


@pytest.mark.parametrize(("trick", "words"), TRICKS, ids=map(str, range(len(TRICKS))))
def test_a_trick_is_refused_in_plain_words(trick: Trick, words: str, tmp_path: Path) -> None:
    file = tmp_path / "found.zip"
    with ZipFile(file, "w") as archive:
        trick(archive)

    with pytest.raises(UnsafeArchiveError, match=words), opened_archive(file):
        pass


@pytest.mark.parametrize("size", [500, 2000])
def test_an_entry_that_lies_about_its_size_is_not_unpacked_further(
    size: int, tmp_path: Path
) -> None:
    file = tmp_path / "found.zip"
    with ZipFile(file, "w") as archive:
        archive.writestr(entry("top/a.csv"), bytes(range(250)) * 4)
        archive.infolist()[0].file_size = size

    with opened_archive(file) as opened, pytest.raises(UnsafeArchiveError, match=r"size|damaged"):
        opened.unpack(tmp_path / "there")

    assert (tmp_path / "there" / "a.csv").stat().st_size <= size


def test_what_is_cut_off_or_no_zip_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "found.zip"
    with ZipFile(file, "w") as archive:
        names("top/a")(archive)
    whole = file.read_bytes()

    for content in (whole[: len(whole) // 2], b"no zip", b""):
        file.write_bytes(content)
        with pytest.raises(UnsafeArchiveError, match="no zip file"), opened_archive(file):
            pass


def test_a_damaged_byte_is_found_when_it_is_read(tmp_path: Path) -> None:
    file = tmp_path / "found.zip"
    with ZipFile(file, "w") as archive:
        archive.writestr("top/a.csv", "setup,mean\none-stock,91.2\n")
    file.write_bytes(file.read_bytes().replace(b"91.2", b"97.2"))

    with opened_archive(file) as opened, pytest.raises(UnsafeArchiveError, match="is damaged"):
        opened.read("a.csv")


def test_a_list_of_files_without_end_is_not_read(tmp_path: Path) -> None:
    file = tmp_path / "evil.zip"
    with ZipFile(file, "w") as archive:
        for number in range(130):  # of 64 KB each, before any name can be looked at
            made = entry(f"top/{number}")
            made.comment = bytes(65_535)
            archive.writestr(made, b"")

    with pytest.raises(UnsafeArchiveError, match="no zip file"), opened_archive(file):
        pass


def test_a_pipe_or_a_link_out_of_the_bench_is_no_archive(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.zip")
    with (
        pytest.raises(NotReadError, match="no ordinary file"),
        opened_archive(tmp_path / "pipe.zip"),
    ):
        pass

    with ZipFile(tmp_path / "1.0.0.zip", "w") as archive:
        archive.writestr("top/a", "x")
    bench = Bench(tmp_path / "bench")
    bench.editions.mkdir(parents=True)
    (bench.editions / "1.0.0.zip").symlink_to(tmp_path / "1.0.0.zip")
    with pytest.raises(NotReadError, match="leads out of the bench"):
        read_editions(bench, date.max)
