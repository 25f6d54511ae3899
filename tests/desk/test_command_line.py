"""What all commands share: an example, output for programs, names that a shell completes."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
import typer

from desk.kills import environment
from flow.benches import copy_of_small_bench
from trialpress.cli import app

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
    assert list(COMMANDS)[:3] == ["new", "adopt", "plan"]
    assert list(COMMANDS)[-2:] == ["publish", "words"]


@pytest.mark.parametrize(
    ("typed", "completed"),
    [
        ("pub", ["publish"]),
        ("explain porch-0", ["porch-01"]),
        ("explain one-stock pic", ["pickup"]),
        ("correct weigh", ["weighings"]),
        ("correct weighings porch-01 after", ["after_g"]),
        ("correct setups one", ["one-stock"]),
        ("plan --settle noi", ["noise"]),
    ],
)
def test_a_shell_completes_names_from_the_bench_files(
    typed: str, completed: list[str], tmp_path: Path
) -> None:
    words = f"trialpress {typed}"
    asked = environment(
        COMP_WORDS=words, COMP_CWORD=str(words.count(" ")), _TRIALPRESS_COMPLETE="complete_bash"
    )

    done = subprocess.run(
        [sys.executable, "-c", "from trialpress.cli import main; main()"],
        cwd=copy_of_small_bench(tmp_path / "bench"),
        env=asked,
        check=True,
        capture_output=True,
        text=True,
    )

    assert done.stdout.split() == completed
