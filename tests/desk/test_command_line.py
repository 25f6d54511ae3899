"""What all commands share: an example, output for programs, names that a shell completes."""

from __future__ import annotations

from pathlib import Path

import pytest
import typer

from flow.benches import copy_of_small_bench
from trialpress.cli import app
from typed import trialpress

COMMANDS = {command.name or "": command for command in typer.main.get_group(app).commands.values()}


def options(name: str) -> set[str]:
    return {option for parameter in COMMANDS[name].params for option in parameter.opts}


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_has_an_example_that_names_options_it_has(name: str) -> None:
    example = (COMMANDS[name].epilog or "").removeprefix("Example: ")

    assert example.startswith(f"trialpress {name}")
    assert {word for word in example.split() if word.startswith("--")} <= options(name)


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_can_be_used_by_a_script(name: str) -> None:
    assert {"--json", "--quiet"} <= options(name)


def test_commands_are_listed_in_the_order_of_an_evening() -> None:
    assert list(COMMANDS)[:3] == ["new", "add", "adopt"]
    assert list(COMMANDS)[-2:] == ["publish", "words"]


@pytest.mark.parametrize(
    ("begun", "completed"),
    [
        ("pub", ["publish"]),
        ("explain porch-0", ["porch-01"]),
        ("explain one-stock pic", ["pickup"]),
        ("add mach", ["machines"]),
        ("add setups refer", ["reference="]),
        ("add protocols --like ru", ["rug", "run-time"]),
        ("correct weigh", ["weighings"]),
        ("correct weighings porch-01 after", ["after_g"]),
        ("correct setups one", ["one-stock"]),
        ("plan --settle noi", ["noise"]),
    ],
)
def test_a_shell_completes_names_from_the_bench_files(
    begun: str, completed: list[str], tmp_path: Path
) -> None:
    words = f"trialpress {begun}"

    said = trialpress(
        folder=copy_of_small_bench(tmp_path / "bench"),
        COMP_WORDS=words,
        COMP_CWORD=str(words.count(" ")),
        _TRIALPRESS_COMPLETE="complete_bash",
    )

    assert said.returncode == 0
    assert said.stdout.split() == completed
