"""What all tests share: property tests repeat the same cases, and no test is timed.

Where more examples are asked for than in an everyday run, they are new ones each time.
"""

from __future__ import annotations

import gc
import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings

from demo_build import build_demo, made_once
from desk.editions import bench_with_edition
from examples import TIMES, examples

settings.register_profile(
    "trialpress", deadline=None, derandomize=TIMES == 1, max_examples=examples(60)
)
settings.load_profile("trialpress")


def pytest_collection() -> None:
    """Tests and the libraries they import stay to the end: nobody looks for garbage in them."""
    gc.disable()


def pytest_collection_finish() -> None:
    """From here on there is garbage, and what was there before need not be gone through.

    Looking for it less often saves a twentieth of all tests.
    """
    gc.freeze()
    gc.set_threshold(50_000, 20, 100)
    gc.enable()


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Begin with what takes longest, or one process would still be at it when others are done.

    Each process begins with an equal share of all tests. What is dear leads the share that it
    stands in, beside other tests that use what it has made; users of ``commands`` share one.
    """
    processes = getattr(config, "workerinput", {}).get("workercount", 1)
    ordered = sorted(items, key=_has_no_commands)
    share = -(-len(items) // processes) or 1
    shares = [ordered[begin : begin + share] for begin in range(0, len(items), share)]
    items[:] = [item for part in shares for item in sorted(part, key=_is_cheap)]


def _has_no_commands(item: pytest.Item) -> bool:
    return "commands" not in getattr(item, "fixturenames", ())


def _is_cheap(item: pytest.Item) -> bool:
    return item.get_closest_marker("dear") is None


@pytest.fixture(scope="session")
def shared_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder of all processes of this run."""
    folder = tmp_path_factory.getbasetemp()
    is_one_of_several = "PYTEST_XDIST_WORKER" in os.environ  # each in a folder of its own
    return folder.parent if is_one_of_several else folder


@pytest.fixture(scope="session", autouse=True)
def _kept_of_this_run(shared_folder: Path) -> Iterator[None]:
    """What commands keep between builds is of this run, and goes with it."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CACHE_HOME", str(shared_folder / "kept"))
        yield


@pytest.fixture(scope="session")
def built_demo(shared_folder: Path) -> Path:
    """The demo bench as built for all tests, in all processes, of this run; only to be read."""
    return made_once(shared_folder / "built-demo", build_demo)


@pytest.fixture(scope="session")
def small_edition(shared_folder: Path) -> Path:
    """An edition of the small bench, in a bench of its own, before its embargo ends, made for all
    processes; only to be read.
    """
    bench = made_once(shared_folder / "small-edition", bench_with_edition)
    return bench / "data" / "editions" / "1.0.0.zip"
