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

from demo_build import built_once
from desk.editions import made_edition
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


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Begin with what takes longest, or one process would still be at it when the other is done.

    Two processes begin with a half of all tests each, so half of the dear ones lead either half.
    """
    dear = [item for item in items if item.get_closest_marker("dear")]
    others = [item for item in items if not item.get_closest_marker("dear")]
    middle = (len(items) + 1) // 2 - len(dear[::2])
    items[:] = [*dear[::2], *others[:middle], *dear[1::2], *others[middle:]]


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
    return built_once(shared_folder / "built-demo")


@pytest.fixture(scope="session")
def small_edition(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An edition of the small bench, in a bench of its own, before its embargo ends; only to be
    read.
    """
    return made_edition(tmp_path_factory.mktemp("small-edition") / "bench")
