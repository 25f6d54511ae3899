"""A cluster of two workers on this machine."""

from __future__ import annotations

from collections.abc import Iterator

import dask
import pytest
from distributed import LocalCluster


@pytest.fixture(scope="session")
def scheduler() -> Iterator[str]:
    """The address of its scheduler, which tries nothing twice that has ended a worker."""
    with (
        dask.config.set({"distributed.scheduler.allowed-failures": 0}),
        LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=":0") as two_workers,
    ):
        yield two_workers.scheduler_address
