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
from trialpress.desk.adopt import limits
from trialpress.desk.measured import BenchState, read_state


@pytest.fixture(scope="session", autouse=True)
def _understanding_begins_warm() -> Iterator[None]:
    """One process is kept for all others that understand files; it has what any test needs."""
    with pytest.MonkeyPatch.context() as patch:
        needed = (*limits.PRELOADED, "trialpress.desk.verify.comparing")
        patch.setattr(limits, "PRELOADED", needed)
        yield


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
