"""What is kept is whole and right, or not there; a folder that refuses keeps nothing."""

from __future__ import annotations

import multiprocessing
import os
import random
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trialpress.cache import MOST_REMEMBERED, Cache, folder_digest, key_of

KEY = key_of("page", b"a row")


def kept_file(folder: Path) -> Path:
    (file,) = (path for path in folder.rglob("*") if path.is_file())
    return file


def test_what_was_kept_comes_back_byte_for_byte(tmp_path: Path) -> None:
    Cache(tmp_path).put(KEY, b"\x00\r\nbytes")

    assert Cache(tmp_path).get(KEY) == b"\x00\r\nbytes"
    assert Cache(tmp_path).get(key_of("page", b"another row")) is None


@given(parts=st.lists(st.binary(max_size=3), min_size=1, max_size=3), cut=st.integers(0, 3))
def test_other_parts_make_another_key_however_they_are_split(parts: list[bytes], cut: int) -> None:
    moved = [parts[0][:cut], parts[0][cut:], *parts[1:]]

    assert key_of("page", *parts) != key_of("page", *moved)
    assert key_of("page", *parts) != key_of("picture", *parts)


@given(where=st.integers(0, 36), change=st.sampled_from(["cut", "flip", "add"]))
def test_an_entry_that_was_cut_or_changed_is_not_there(
    tmp_path_factory: pytest.TempPathFactory, where: int, change: str
) -> None:
    folder = tmp_path_factory.mktemp("kept")
    Cache(folder).put(KEY, b"12345")  # behind a digest of 32 bytes
    file = kept_file(folder)
    content = bytearray(file.read_bytes())
    if change == "cut":
        del content[where:]
    elif change == "flip":
        content[where] ^= 1
    else:
        content[where:where] = b"x"
    file.write_bytes(content)

    assert Cache(folder).get(KEY) is None


def test_what_cannot_be_written_is_not_kept_and_no_fault(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way", "utf-8")
    cache = Cache(tmp_path / "file")

    cache.put(KEY, b"bytes")
    cache.trim()

    assert cache.get(KEY) is None


def test_the_oldest_goes_first_where_there_is_too_much(tmp_path: Path) -> None:
    cache, names = Cache(tmp_path), [b"first", b"second", b"third"]
    for age, name in enumerate(names):
        cache.put(key_of("page", name), name)
        os.utime(next(tmp_path.rglob(key_of("page", name)[2:])), (age, age))
    cache.get(key_of("page", b"first"))  # asked for last of all

    cache.trim(2 * (32 + 6))

    kept = [cache.get(key_of("page", name)) for name in names]
    assert kept == [b"first", None, b"third"]


def _keep_and_ask(folder: Path, seed: int) -> None:
    """Keep, ask for and remove the same few things again and again, at random."""
    chance, cache = random.Random(seed), Cache(folder)  # noqa: S311  no secret
    for _ in range(300):
        number = chance.randrange(4)
        content = bytes([number]) * 5000
        cache.put(key_of("page", content[:1]), content)
        if not chance.randrange(8):
            cache.trim(5100 * chance.randrange(4))
        assert cache.get(key_of("page", content[:1])) in {None, content}


def test_programs_that_share_a_folder_get_what_is_whole_or_nothing(tmp_path: Path) -> None:
    fork = multiprocessing.get_context("fork")
    programs = [fork.Process(target=_keep_and_ask, args=(tmp_path, seed)) for seed in range(3)]
    for program in programs:
        program.start()
    for program in programs:
        program.join()

    assert [program.exitcode for program in programs] == [0, 0, 0]
    assert all(len(file.name) == len(KEY) - 2 for file in tmp_path.glob("*/*"))  # none half-written


def test_git_passes_over_the_folder(tmp_path: Path) -> None:
    Cache(tmp_path).trim()

    assert (tmp_path / ".gitignore").read_text("ascii") == "*\n"


def test_without_a_folder_a_process_remembers_only_so_many() -> None:
    cache = Cache()
    for number in range(MOST_REMEMBERED + 1):
        cache.put(f"{number}", b"x")

    assert cache.get("0") is None
    assert cache.get(f"{MOST_REMEMBERED}") == b"x"


def test_the_digest_of_a_folder_knows_names_and_bytes(tmp_path: Path) -> None:
    file = tmp_path / "a.html"
    file.write_text("one", "utf-8")
    digests = [folder_digest(tmp_path)]
    file.write_text("two", "utf-8")
    digests.append(folder_digest(tmp_path))
    file.rename(tmp_path / "b.html")
    digests.append(folder_digest(tmp_path))

    assert len(set(digests)) == 3
