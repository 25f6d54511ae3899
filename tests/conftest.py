"""What all tests share: property tests repeat the same cases, and no test is timed.

Where more examples are asked for than in an everyday run, they are new ones each time.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import settings

from demo_build import built_once
from examples import TIMES, examples

settings.register_profile(
    "trialpress", deadline=None, derandomize=TIMES == 1, max_examples=examples(60)
)
settings.load_profile("trialpress")


@pytest.fixture(scope="session")
def built_demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo bench as built for all tests, in all processes, of this run; only to be read."""
    folder = tmp_path_factory.getbasetemp()
    is_one_of_several = "PYTEST_XDIST_WORKER" in os.environ  # each in a folder of its own
    return built_once((folder.parent if is_one_of_several else folder) / "built-demo")
