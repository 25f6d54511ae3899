"""The answer stands in the first screen: three rows of every ranking, wide and on a phone.

Short: one rule for every page that ranks.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from web.conftest import OpenPage

RANKINGS = ("standings/deep-rug.html", "standings/deep-rug-v1.html", "overall.html")


@pytest.mark.parametrize(("width", "height"), [(1440, 900), (390, 844)])
def test_three_rows_of_every_ranking_stand_in_the_first_screen(
    width: int, height: int, built_site: Path, open_page: OpenPage
) -> None:
    page = open_page("about:blank", width=width, height=height)
    ends = {}
    for name in RANKINGS:
        page.goto((built_site / name).as_uri())
        third = page.locator("[data-rows] > tr").nth(2)
        box = third.bounding_box()
        assert box is not None
        ends[name] = box["y"] + box["height"]

    assert max(ends.values()) <= height, ends
