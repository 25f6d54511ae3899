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

from house.tracked import ROOT
from trialpress.desk.new.bench import new_bench


def run(*command: str | Path, cwd: Path) -> subprocess.CompletedProcess[str]:
    """Start a program as a user's shell would, without this checkout on Python's path."""
    return subprocess.run(
        command,
        cwd=cwd,
        env={"PATH": "/usr/bin:/bin", "HOME": str(cwd), "LC_ALL": "C.UTF-8"},
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
    shutil.copytree(ROOT / "tests/folders/base", folder / "bench")
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


@pytest.mark.dear
def test_a_build_writes_site_dataset_and_store(elsewhere: Path) -> None:
    bench = elsewhere / "bench"

    told = run(elsewhere / "env/bin/trialpress", "build", cwd=bench)

    assert told.returncode == 0, told.stdout + told.stderr
    for name in ("store.duckdb", "site/index.html", "dataset/datapackage.json", "report.json"):
        assert (bench / "build" / name).is_file(), name
