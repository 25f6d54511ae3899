"""The workers of a Dask cluster, in place of other processes on this machine.

In:  the address of a scheduler, whose workers run the same program with the same libraries.
Out: ``Products`` that they make, each the same bytes as here.

Whoever answers at the address can run code on this machine, as this program can on the workers: it
is given on the command line alone, never by a bench.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from concurrent.futures import CancelledError, Executor, Future
from contextlib import contextmanager
from typing import ParamSpec, TypeVar

from trialpress.cache import Cache, program_digest, templates_digest
from trialpress.errors import OutsideWorldError, UsageError
from trialpress.products import Products

Asked = ParamSpec("Asked")
Made = TypeVar("Made")
LONGEST_S = 5.0
"""How long a scheduler may take to answer, and its first worker to be there."""


class NoClusterError(UsageError):
    """The libraries for a cluster are not installed, or the address is none."""


class ClusterError(OutsideWorldError):
    """The cluster does not answer, or would make other bytes."""


@contextmanager
def cluster(cache: Cache, address: str) -> Iterator[Products]:
    """Products made by the workers of a cluster; what they lose is made here.

    Parameters
    ----------
    cache : Cache
        Where products are kept, on this machine.
    address : str
        Of a scheduler: ``tcp://host:port``.

    Raises
    ------
    NoClusterError
        If the libraries for it are missing, or the address is no address.
    ClusterError
        If no scheduler answers there or none of its workers does; where products are made, if a
        worker runs another program.
    """
    try:
        from distributed import Client, KilledWorker  # noqa: PLC0415  slow to import, an extra
        from distributed.comm import CommClosedError, get_address_host_port  # noqa: PLC0415
    except ImportError as error:
        raise NoClusterError(
            "--scheduler needs Dask, the extra “cluster”: pip install --no-deps --require-hashes "
            "-r requirements-dev.txt has it."
        ) from error
    try:
        get_address_host_port(address, strict=True)
    except ValueError as error:
        raise NoClusterError(
            f"--scheduler {address} is no address; it looks like tcp://192.168.1.20:8786."
        ) from error
    try:
        client = Client(address, timeout=LONGEST_S, set_as_default=False)
    except OSError as error:
        raise ClusterError(
            f"No scheduler answers at {address}. Is `dask scheduler` running there, and does the "
            "network let this machine reach it?"
        ) from error
    with client:
        try:
            client.wait_for_workers(1, timeout=LONGEST_S)
        except TimeoutError as error:
            raise ClusterError(
                f"The scheduler at {address} has no worker. Start one: dask worker {address} "
                "--nthreads 1"
            ) from error
        executor = SameProgram(client.get_executor(pure=False))
        workers = sum(client.nthreads().values())
        lost = (KilledWorker, CommClosedError, CancelledError)
        yield Products(cache, lambda: executor, workers, lost=lost)


class SameProgram(Executor):
    """An executor elsewhere, which must be the program that runs here."""

    def __init__(self, executor: Executor) -> None:
        self.executor = executor
        self.digests = _digests()

    def submit(
        self, function: Callable[Asked, Made], /, *args: Asked.args, **named: Asked.kwargs
    ) -> Future[Made]:
        """Have a function called there, where there is the same program."""
        return self.executor.submit(_called, self.digests, function, *args, **named)


def _called(
    digests: tuple[bytes, bytes],
    function: Callable[Asked, Made],
    /,
    *args: Asked.args,
    **named: Asked.kwargs,
) -> Made:
    if _digests() != digests:
        from distributed import get_worker  # noqa: PLC0415

        raise ClusterError(
            f"The worker at {get_worker().address} has another Trialpress, other templates or "
            "other libraries than this machine, so its pages could differ. Install both from the "
            "same lock file."
        )
    return function(*args, **named)


def _digests() -> tuple[bytes, bytes]:
    return program_digest(), templates_digest()
