"""Products that a worker of a cluster finds by their names."""

from __future__ import annotations

import os
import signal
from multiprocessing import parent_process


def made_by(name: str) -> bytes:
    """The name, and who made it."""
    return f"{name} {'there' if parent_process() else 'here'}".encode()


def ends_a_worker(name: str) -> bytes:
    """As ``made_by``, but no worker survives a ``d``."""
    if name == "d" and parent_process():
        os.kill(os.getpid(), signal.SIGKILL)
    return made_by(name)
