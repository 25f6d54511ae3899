"""The wheel works outside the checkout, with its templates, schemas and SQL."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
import sysconfig
from datetime import date
from pathlib import Path

import pytest

from flow.benches import SMALL, files_below
from house.tracked import ROOT
from trialpress.bench import Bench
from trialpress.desk.new.bench import new_bench
from trialpress.flow import Order, Output, build


def run(*command: str | Path, cwd: Path, **more: str) -> subprocess.CompletedProcess[str]:
    """Start a program as a user's shell would, without this checkout on Python's path."""
    return subprocess.run(
        command,
        cwd=cwd,
        env={"PATH": "/usr/bin:/bin", "HOME": str(cwd), "LC_ALL": "C.UTF-8", **more},
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.fixture(scope="module")
def elsewhere(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with an environment in it that has the wheel and, by a path file, what it needs.

    The wheel is installed as the workflow of a new bench does it, from the line that names it.
    """
    folder = tmp_path_factory.mktemp("elsewhere")
    pip = (sys.executable, "-m", "pip", "--disable-pip-version-check")
    built = run(
        *pip, "wheel", "--no-deps", "--no-build-isolation", "--wheel-dir", folder, ROOT, cwd=folder
    )
    assert built.returncode == 0, built.stderr
    (wheel,) = folder.glob("*.whl")
    run(sys.executable, "-m", "venv", "--without-pip", folder / "env", cwd=folder)
    (site_packages,) = (folder / "env/lib").glob("python*/site-packages")
    path_file = site_packages / "what_it_needs.pth"
    path_file.write_text(sysconfig.get_path("purelib") + "\n", encoding="utf-8")
    into = ("--python", folder / "env/bin/python")
    new_bench(folder / "forge", date(2031, 3, 2), wheel)
    lock, _, own = (folder / "forge/requirements.txt").read_text("utf-8").rpartition("\n./")
    assert f"{lock}\n" == (ROOT / "requirements.txt").read_text("utf-8")
    (folder / "forge/requirements.txt").write_text(f"./{own}", encoding="utf-8")
    workflow = (folder / "forge/.github/workflows/publish.yml").read_text("utf-8")
    (as_it_says,) = set(re.findall(r"pip (install .*)$", workflow, re.MULTILINE))
    done = run(*pip, *into, *as_it_says.split(), "--no-index", cwd=folder / "forge")
    assert done.returncode == 0, done.stderr
    shutil.copytree(SMALL, folder / "bench")
    return folder


def test_the_installed_package_is_not_the_checkout(elsewhere: Path) -> None:
    told = run(
        elsewhere / "env/bin/python",
        "-c",
        "import trialpress; print(trialpress.__file__)",
        cwd=elsewhere,
    )

    assert Path(told.stdout.strip()).is_relative_to(elsewhere), told


def test_help_names_the_commands(elsewhere: Path) -> None:
    told = run(elsewhere / "env/bin/trialpress", "--help", cwd=elsewhere)

    assert told.returncode == 0, told.stderr
    assert "check" in told.stdout
    assert "build" in told.stdout


def test_check_reads_a_bench_anywhere(elsewhere: Path) -> None:
    told = run(elsewhere / "env/bin/trialpress", "check", cwd=elsewhere / "bench")

    assert told.returncode == 0, told.stdout + told.stderr


def test_a_build_by_the_wheel_is_that_of_the_checkout_whatever_the_zone_locale_and_hash_seed(
    elsewhere: Path, tmp_path: Path
) -> None:
    """In a new process and another folder, to the byte."""
    bench, here = elsewhere / "bench", tmp_path / "build"
    other = {"TZ": "Pacific/Auckland", "LC_ALL": "C", "PYTHONHASHSEED": "20310601"}

    told = run(elsewhere / "env/bin/trialpress", "build", "--as-of", "2031-06-01",
               cwd=bench, **other)  # fmt: skip

    assert told.returncode == 0, told.stdout + told.stderr
    build(Order(Bench(SMALL), date(2031, 6, 1), here, tuple(Output), lambda _: None))
    assert files_below(bench / "build") == files_below(here)
    assert (bench / "build" / "store.duckdb").is_file()
