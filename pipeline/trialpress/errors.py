"""The exception tree. Each message says where, what is wrong and what to do.

::

    TrialpressError
    ├── FaultyDataError      the bench's own data have faults       exit status 1
    ├── UsageError           the command was called in a wrong way  exit status 2
    └── OutsideWorldError    disk, remote or another program failed exit status 3

``ValueError`` and its kin are left for our own bugs and keep their traceback.

Short: the tree alone; each leaf stands where it is raised.
"""

from __future__ import annotations


class TrialpressError(Exception):
    """Anything the person at the bench can do something about."""

    exit_status = 1


class FaultyDataError(TrialpressError):
    """The data have faults; the findings name each one."""

    exit_status = 1


class UsageError(TrialpressError):
    """The command was called in a way that cannot work."""

    exit_status = 2


class OutsideWorldError(TrialpressError):
    """Something outside the program failed: the disk, a remote, another program."""

    exit_status = 3
