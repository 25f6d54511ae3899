"""What all tests share: property tests repeat the same cases, and no test is timed.

Where more examples are asked for than in an everyday run, they are new ones each time.
"""

from __future__ import annotations

from hypothesis import settings

from examples import TIMES, examples

settings.register_profile(
    "trialpress", deadline=None, derandomize=TIMES == 1, max_examples=examples(60)
)
settings.load_profile("trialpress")
