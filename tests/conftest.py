"""What all tests share: property tests repeat the same cases, and no test is timed."""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("trialpress", deadline=None, derandomize=True, max_examples=60)
settings.load_profile("trialpress")
