"""What this bench is, how its machines came to it, and what its figures can and cannot say.

In:  the disclosure of the bench and how each machine was acquired.
Out: ``AboutPage``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from trialpress.site import urls
from trialpress.site.frame import Frame, Link, frame_of
from trialpress.site.source import SiteSource
from trialpress.view import View, terms
from trialpress.words import figures, say


@dataclass(frozen=True)
class AcquiredLine:
    """How many machines came here in one way, and which."""

    how: str
    count: str
    machines: tuple[Link, ...]


@dataclass(frozen=True)
class AboutPage:
    """Everything the page about the bench shows."""

    template: ClassVar[str] = "pages/about.html"
    frame: Frame
    disclosure: tuple[str, ...]
    acquired: tuple[AcquiredLine, ...]
    one_in: str
    single_runs: str


def about_page(source: SiteSource) -> AboutPage:
    """The page about the bench."""
    view = source.view
    settings = view.settings
    return AboutPage(
        frame=frame_of(
            settings,
            urls.ABOUT,
            say("About this bench"),
            say(
                "How {bench} came by its machines, how sure its figures are, and where they end.",
                bench=settings.name,
            ),
        ),
        disclosure=tuple(part.strip() for part in settings.disclosure.split("\n\n")),
        acquired=_acquired(view),
        one_in=figures.typed_number(round(1 / (1 - settings.confidence), 1)),
        single_runs=settings.single_runs,
    )


def _acquired(view: View) -> tuple[AcquiredLine, ...]:
    lines = []
    for how, words in terms.ACQUIRED.items():
        machines = [machine for machine in view.machines if machine.acquired == how]
        lines.append(
            AcquiredLine(
                how=words,
                count=str(len(machines)),
                machines=tuple(
                    Link(view.names.machines[row.machine], urls.machine_url(row.machine))
                    for row in machines
                ),
            )
        )
    return tuple(lines)
