"""The small bench as a preview has read it, once for all tests of what helps at the bench.

In:  the small bench.
Out: fixture ``state``; only to be read.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from desk.kills import Commands
from flow.benches import SMALL
from trialpress.bench import Bench
from trialpress.desk.measured import BenchState, read_state


@pytest.fixture(scope="session")
def commands(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Commands]:
    """Commands in processes of their own, that may be killed."""
    started = Commands(tmp_path_factory.mktemp("commands"))
    yield started
    started.stop()


@pytest.fixture(scope="session")
def state() -> BenchState:
    """The state of a copy of the small bench in which nothing was changed yet."""
    return read_state(Bench(SMALL))
