"""Other people's files, understood by a process of its own that may use little memory and time.

In:  a function and what it is called with.
Out: what it returns, or why there is nothing. A workbook of a kilobyte can ask for more memory than
     there is, or for ever: that ends the other process, and is told here.
"""

from __future__ import annotations

import multiprocessing
import sys
from collections.abc import Callable
from multiprocessing import get_context
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from typing import ParamSpec, TypeVar, cast

MOST_MEMORY_BYTES = 2**30
MOST_CPU_S = 8
PRELOADED = ("trialpress.desk.adopt.spreadsheet", "trialpress.desk.adopt.guessing")
"""What the processes need beside the first function's own module.

None of it starts a thread (linear algebra has one, as the command line sets it), so they may be
forked with it.
"""
PATIENCE_S = 120.0
"""On a busy machine 8 s of work take longer; a process that only waits is given up then."""
BEYOND = (
    "understanding it takes more memory or time than any sheet of results needs; a stray cell far "
    "below or to the right of the others does that, or a file made to do harm"
)

Given = ParamSpec("Given")
Made = TypeVar("Made")


class NotUnderstoodError(Exception):
    """Why the function returned nothing."""


def call_within_limits(
    function: Callable[Given, Made], *arguments: Given.args, **options: Given.kwargs
) -> Made:
    """Call a function of a module in another process, with the limits of a sheet of results.

    Raises
    ------
    NotUnderstoodError
        If it raised anything, or ended for want of memory or time.
    """
    return call_within((MOST_CPU_S, MOST_MEMORY_BYTES), function, *arguments, **options)


def call_within(
    limits: tuple[int, int],
    function: Callable[Given, Made],
    *arguments: Given.args,
    **options: Given.kwargs,
) -> Made:
    """As ``call_within_limits``, with so many seconds of work and bytes of memory."""
    mine, theirs = multiprocessing.Pipe(duplex=False)
    patience_s = PATIENCE_S * max(1.0, limits[0] / MOST_CPU_S)
    given = (theirs, limits, function, arguments, options)
    # A fork of a process with threads may stand still, so it is a new one, or of one kept for that.
    if sys.platform == "win32":
        process: BaseProcess = get_context("spawn").Process(target=_call, args=given)
    else:
        context = get_context("forkserver")
        # The first call decides, once, for all processes to come.
        context.set_forkserver_preload([*PRELOADED, function.__module__])
        process = context.Process(target=_call, args=given)
    process.start()
    theirs.close()
    try:
        has_returned, result = mine.recv() if mine.poll(patience_s) else (False, BEYOND)
    except EOFError:  # it was ended
        has_returned, result = False, BEYOND
    finally:
        mine.close()
        process.kill()
        process.join()
    if not has_returned:
        raise NotUnderstoodError(result)
    return cast("Made", result)


def _call(
    answer: Connection[tuple[bool, object], object],
    limits: tuple[int, int],
    function: Callable[..., object],
    arguments: tuple[object, ...],
    options: dict[str, object],
) -> None:
    _limit(*limits)
    try:
        answer.send((True, function(*arguments, **options)))
    except MemoryError:
        answer.send((False, BEYOND))
    except Exception as error:  # noqa: BLE001  of whatever library gave up on the file
        answer.send((False, str(error) or type(error).__name__))


def _limit(most_cpu_s: int, most_memory_bytes: int) -> None:
    if sys.platform == "win32":  # only the patience of the other side limits it there
        return
    import resource  # noqa: PLC0415  not everywhere

    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    resource.setrlimit(resource.RLIMIT_CPU, (most_cpu_s, most_cpu_s))
    if sys.platform == "linux":  # elsewhere the limit is not kept, or cannot be set
        resource.setrlimit(resource.RLIMIT_AS, (most_memory_bytes, most_memory_bytes))
