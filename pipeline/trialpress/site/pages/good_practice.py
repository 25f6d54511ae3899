"""How the dataset keeps to the W3C's best practices for data on the web, each met or declined.

In:  the bench's settings; the practices and how each is met stand in the template.
Out: ``GoodPracticePage``.

Short: its words are all in the template.
Source: W3C Recommendation "Data on the Web Best Practices", 31 January 2017; the titles of its 35
practices were compared with those in the sources of the W3C's own documents.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from trialpress.site import urls
from trialpress.site.frame import Frame, frame_of
from trialpress.site.source import SiteSource
from trialpress.words import say

STANDARD = "https://www.w3.org/TR/dwbp/"


@dataclass(frozen=True)
class GoodPracticePage:
    """Everything the page shows."""

    template: ClassVar[str] = "pages/good_practice.html"
    frame: Frame
    standard: str


def good_practice_page(source: SiteSource) -> GoodPracticePage:
    """The page of good practice."""
    return GoodPracticePage(
        frame=frame_of(
            source.view.settings,
            urls.GOOD_PRACTICE,
            say("Good practice"),
            say("The best practices of the W3C for data on the web, each met or declined."),
            under=urls.DATA,
        ),
        standard=STANDARD,
    )
