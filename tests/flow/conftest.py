"""A cluster of two workers on this machine.

It takes two seconds of a processor to begin, and a seventh of one while it waits, as its workers
look at themselves and write to its scheduler. So it ends with the module that asked for it.
"""

from __future__ import annotations

from collections.abc import Iterator

import dask
import pytest
from distributed import LocalCluster


@pytest.fixture(scope="module")
def scheduler() -> Iterator[str]:
    """The address of its scheduler, which tries nothing twice that has ended a worker."""
    with (
        dask.config.set({"distributed.scheduler.allowed-failures": 0}),
        LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=":0") as two_workers,
    ):
        yield two_workers.scheduler_address
