"""The lines of runs."""

from __future__ import annotations

from trialpress.site.pages.runs import Clip, clip_of


def test_a_clip_is_told_with_its_timecode_and_followed_where_it_is_on_the_web() -> None:
    assert clip_of("hall-0.mp4 06:24") == Clip("clip hall-0.mp4 06:24", None)
    assert clip_of("https://example.org/v/7 06:24") == Clip("clip 06:24", "https://example.org/v/7")
    assert clip_of("https://example.org/v/7?t=384") == Clip("clip", "https://example.org/v/7?t=384")
