"""A new bench that passes ``check``.

In:  a folder that is empty or not there, and today.
Out: a bench in it, from ``empty_bench/`` beside this file; ``bench`` says what goes into it.
"""

from __future__ import annotations

from trialpress.desk.new.bench import new_bench

__all__ = ["new_bench"]
