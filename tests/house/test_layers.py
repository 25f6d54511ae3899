"""Data come in at the left and leave at the right: the order of imports is a contract."""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import trialpress
from house.contract import CONTRACT, LAYERS, STAGES, rank
from house.tracked import ROOT

MAP_LINE = re.compile(r"^    (\w+(?:, \w+)*)  +\S", re.MULTILINE)


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


def write_package(folder: Path, layers: Sequence[str]) -> None:
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


def misdrawn(docstring: str) -> list[str]:
    """What the map in a docstring says otherwise than the contract, or leaves out."""
    drawn = [name for line in MAP_LINE.findall(docstring) for name in line.split(", ")]
    unknown = [name for name in drawn if name not in LAYERS]
    ranks = [rank(name) for name in drawn if name in LAYERS]
    named = {*drawn, *re.findall(r"``(\w+)``", docstring)}
    return [
        *(f"{name} is no stage" for name in unknown),
        *(["the order is another"] if ranks != sorted(ranks) else []),
        *(f"{name} is left out" for name in STAGES if name not in named),
    ]


def test_the_map_of_the_package_is_that_of_the_contract() -> None:
    docstring = trialpress.__doc__ or ""
    assert "the order is another" in misdrawn("    store   b\n    intake  a\n")
    assert "kitchen is no stage" in misdrawn(f"{docstring}    kitchen  -> plates\n")
    assert misdrawn(docstring.replace("measure", "results"))

    assert not misdrawn(docstring)
