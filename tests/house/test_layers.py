"""Data come in at the left and leave at the right: the order of imports is a contract."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

from house.tracked import ROOT

PROJECT = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
CONTRACT = PROJECT[PROJECT.index("[tool.importlinter]") : PROJECT.index("[tool.sqlfluff")]
LAYERS = re.findall(r"\w+", " ".join(re.findall(r'^    "(.*)",$', CONTRACT, re.MULTILINE)))


def lint_imports(folder: Path, source: Path) -> subprocess.CompletedProcess[str]:
    program = Path(sys.executable).parent / "lint-imports"
    return subprocess.run(
        [program, "--no-cache"],
        cwd=folder,
        env={"PYTHONPATH": str(source), "PATH": "/usr/bin:/bin"},
        capture_output=True,
        text=True,
        check=False,
    )


def write_package(folder: Path, layers: list[str]) -> None:
    (folder / "trialpress").mkdir()
    (folder / "pyproject.toml").write_text(CONTRACT, encoding="utf-8")
    for name in ["__init__", *layers]:
        (folder / "trialpress" / f"{name}.py").write_text("", encoding="utf-8")


def test_every_stage_imports_leftwards_only() -> None:
    run = lint_imports(ROOT, ROOT / "pipeline")

    assert run.returncode == 0, run.stdout


def test_an_import_to_the_right_breaks_the_contract(tmp_path: Path) -> None:
    write_package(tmp_path, LAYERS)
    assert lint_imports(tmp_path, tmp_path).returncode == 0

    (tmp_path / "trialpress/store.py").write_text("from trialpress import site\n", "utf-8")

    broken = lint_imports(tmp_path, tmp_path)
    assert broken.returncode == 1
    assert "trialpress.store is not allowed to import trialpress.site" in broken.stdout


def test_a_module_outside_the_order_breaks_the_contract(tmp_path: Path) -> None:
    write_package(tmp_path, [*LAYERS, "elsewhere"])

    assert lint_imports(tmp_path, tmp_path).returncode == 1
