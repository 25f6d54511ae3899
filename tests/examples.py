"""How many examples a property test tries: few in every run, many in the audit.

In:  ``MORE_EXAMPLES`` of the environment, a whole number; 1 where it is not set.
Out: ``examples``.
"""

from __future__ import annotations

import os

TIMES = int(os.environ.get("MORE_EXAMPLES", "1"))


def examples(few: int) -> int:
    """How many examples to try where an everyday run tries ``few``."""
    return few * TIMES
