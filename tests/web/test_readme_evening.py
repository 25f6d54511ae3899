"""The evening that the README tells, typed as it stands there."""

from __future__ import annotations

import os
import re
import shlex
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from demo_build import ROOT
from desk.kills import environment
from typed import trialpress

NOW = str(1_793_491_200)  # 2026-11-01, the date of the demo's build for all tests
SHELL = 'trialpress() { exec "$PYTHON" -m trialpress.cli "$@"; }\n'


def commands() -> list[str]:
    """The lines that the section has a reader type."""
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    _, _, section = readme.partition("## One evening, from plan to publish\n")
    blocks = re.findall(r"```sh\n(.*?)```", section.partition("\n## ")[0], re.DOTALL)
    return "".join(blocks).splitlines()


def run(lines: list[str], folder: Path) -> str:
    """What the commands say; they run in this process, as a new one takes a second to start."""
    typed = [shlex.split(line, comments=True) for line in lines]
    assert {words[0] for words in typed} == {"trialpress"}
    done = [trialpress(*words[1:], folder=folder, SOURCE_DATE_EPOCH=NOW) for words in typed]
    assert {(said.returncode, said.stderr) for said in done} == {(0, "")}
    return "".join(said.stdout for said in done)


def begin_and_stop(line: str, folder: Path) -> str:
    """Start the preview, and press Ctrl+C when it has said where it is."""
    with subprocess.Popen(
        ["sh", "-c", SHELL + line],
        cwd=folder,
        env=environment(PYTHON=sys.executable, SOURCE_DATE_EPOCH=NOW, PYTHONUNBUFFERED="1"),
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    ) as preview:
        assert preview.stdout is not None
        try:
            said = "".join(preview.stdout.readline() for _ in range(3))
            preview.send_signal(signal.SIGINT)
            assert preview.wait(timeout=60) == 0
        finally:
            preview.kill()
    return said


@pytest.fixture
def _keys_that_stop() -> Iterator[None]:
    """Ctrl+C as a terminal has it; a job in the background of a shell is started deaf to it."""
    was = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, was)


@pytest.fixture
def checkout(tmp_path: Path) -> Path:
    """As much of this repository as the section needs."""
    shutil.copytree(ROOT / "data", tmp_path / "data")
    return tmp_path


@pytest.mark.dear
@pytest.mark.usefixtures("_keys_that_stop")
def test_every_command_of_the_evening_does_what_the_readme_says(
    checkout: Path, built_site: Path
) -> None:
    """Only ``build`` is not run again: all tests share one build of the demo."""
    copy, *lines = commands()
    subprocess.run(["sh", "-c", copy], cwd=checkout, check=True)
    preview = next(i for i, line in enumerate(lines) if line.startswith("trialpress preview"))
    build = lines.index("trialpress build")
    evening = checkout / "build" / "evening"

    planned = run(lines[:preview], evening)
    served = begin_and_stop(lines[preview], evening)
    corrected = run(lines[preview + 1 : build], evening)
    shutil.copytree(built_site, evening / "build" / "site", copy_function=os.link)
    shutil.copy(built_site.parent / "report.json", evening / "build")
    (evening / "build" / "report.json").touch()
    published = run(lines[build + 1 :], evening)

    assert "ilvane-r-stock: 2 runs" in planned
    assert (evening / "build" / "sheets" / "2026-11-07-hall.html").exists()
    assert "/sheet" in served
    assert "320.43 becomes 320.34" in corrected
    assert "Published to www." in published
    assert (evening / "www" / "index.html").read_bytes() == (built_site / "index.html").read_bytes()
