"""Building and publishing, killed at random moments: no site is lost, the next try mends all."""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Mapping
from itertools import cycle, islice
from pathlib import Path

import pytest

from desk.kills import MOMENTS, Commands, environment, killed, moments
from flow.benches import copy_of_small_bench, files_below
from typed import trialpress

JUNE = str(1_938_556_800)  # 2031-06-07
JULY = str(1_941_148_800)  # 2031-07-07
SWAPPER = """
import sys
from pathlib import Path
from trialpress.swap import staging_folder, swap_in
out = Path(sys.argv[1])
print("begun")
for i in range(int(sys.argv[2])):
    with staging_folder(out) as staging:
        (staging / "site").mkdir()
        for page in range(40):
            (staging / "site" / f"{page}.html").write_text(str(i))
        (staging / "report.json").write_text("{}")
        swap_in(staging, out, ["site", "report.json"])
"""


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    return copy_of_small_bench(tmp_path / "bench")


def is_sound(repository: Path) -> bool:
    """Whether git finds nothing missing once the push that was begun has come to its end.

    Git does not end with the program that began it, and objects are looked through before branches:
    one that arrives meanwhile seems to lack what it is made of.
    """
    for _ in range(50):
        found = subprocess.run(
            ["git", "fsck", "--strict"], cwd=repository, check=False, capture_output=True
        )
        if found.returncode == 0:
            return True
        time.sleep(0.1)
    return False


def small_site(bench: Path, words: str) -> None:
    """A built site of a few pages, as a build leaves it."""
    site = bench / "build" / "site"
    (site / "machines").mkdir(parents=True, exist_ok=True)
    for i in range(40):
        (site / "machines" / f"m-{i}.html").write_text(f"{words} {i}\n" * 400, encoding="utf-8")
    (site / "index.html").write_text(words, encoding="utf-8")
    report = '{"as_of": "2031-06-07", "written": ["site"], "findings": []}'
    (bench / "build" / "report.json").write_text(report, encoding="utf-8")


def test_a_swap_killed_at_any_moment_leaves_one_whole_site_in_its_place(tmp_path: Path) -> None:
    out = tmp_path / "build"
    first = [sys.executable, "-c", SWAPPER, str(out), "1"]
    subprocess.run(first, env=environment(), check=True, capture_output=True)
    for after_s in moments(0.8):
        killed(["-c", SWAPPER, str(out), "1000000"], tmp_path, after_s)
        pages = files_below(out / "site")
        assert (len(pages), len(set(pages.values()))) == (40, 1)


@pytest.mark.dear
def test_a_build_killed_at_any_moment_leaves_the_old_or_the_new_site_whole(
    bench: Path, commands: Commands
) -> None:
    """From day to day and back, so that each of them has something to build."""
    site = bench / "build" / "site"

    def built(day: str) -> Mapping[str, bytes]:
        assert commands.run("build", folder=bench, SOURCE_DATE_EPOCH=day) == 0
        return files_below(site)

    june = built(JUNE)
    began, seen, statuses = time.monotonic(), [], list[int]()
    july = built(JULY)
    assert june != july
    times = islice(moments(time.monotonic() - began), max(MOMENTS // 2, 1))

    for day, after_s in zip(cycle((JUNE, JULY)), times, strict=False):
        statuses.append(
            commands.kill("build", folder=bench, after_s=after_s, SOURCE_DATE_EPOCH=day)
        )
        seen.append(files_below(site))

    assert min(statuses) < 0, "every kill came after the end"
    assert all(found in [june, july] for found in seen)
    assert built(JUNE) == june
    names = {path.name for path in (bench / "build").iterdir()}
    assert not names & {".staging", ".retired"}


def test_publishing_to_git_killed_at_any_moment_leaves_a_whole_branch(
    bench: Path, tmp_path: Path, commands: Commands
) -> None:
    remote = tmp_path / "remote.git"
    subprocess.run(["git", "init", "--quiet", "--bare", str(remote)], check=True)
    command = ["publish", "--to-git", str(remote), "--yes", "--quiet"]
    small_site(bench, "first")
    began, statuses = time.monotonic(), []
    assert commands.run(*command, folder=bench, SOURCE_DATE_EPOCH=JUNE) == 0

    for i, after_s in enumerate(moments(time.monotonic() - began)):
        small_site(bench, f"again {i}")
        statuses.append(
            commands.kill(*command, folder=bench, after_s=after_s, SOURCE_DATE_EPOCH=JUNE)
        )
        assert is_sound(remote)
        published = subprocess.run(
            ["git", "ls-tree", "-r", "--name-only", "pages"],
            cwd=remote,
            check=True,
            capture_output=True,
            text=True,
        )
        assert len(published.stdout.split()) == 41
        done = trialpress(*command, folder=bench, SOURCE_DATE_EPOCH=JUNE)
        assert (done.returncode, done.stderr) == (0, "")

    assert min(statuses) < 0, "every kill came after the end"
    assert len(set(recorded(bench))) == len(recorded(bench)) == 41


def test_publishing_to_a_folder_killed_at_any_moment_is_taken_up_again(
    bench: Path, tmp_path: Path, commands: Commands
) -> None:
    www = tmp_path / "www"
    command = ["publish", "--to-folder", str(www), "--yes", "--quiet"]
    small_site(bench, "first")
    began, statuses = time.monotonic(), []
    assert commands.run(*command, folder=bench, SOURCE_DATE_EPOCH=JUNE) == 0

    for i, after_s in enumerate(moments(time.monotonic() - began)):
        small_site(bench, f"again {i}")
        statuses.append(
            commands.kill(*command, folder=bench, after_s=after_s, SOURCE_DATE_EPOCH=JUNE)
        )
        small_site(bench, f"and then {i}")
        done = trialpress(*command, folder=bench, SOURCE_DATE_EPOCH=JUNE)
        assert (done.returncode, done.stderr) == (0, "")
        there = files_below(www)
        del there[".trialpress-published.json"]
        assert there == files_below(bench / "build" / "site")

    assert min(statuses) < 0, "every kill came after the end"
    assert len(set(recorded(bench))) == len(recorded(bench)) == 41


def recorded(bench: Path) -> list[str]:
    return (bench / "data" / "published.csv").read_text(encoding="utf-8").splitlines()[1:]
