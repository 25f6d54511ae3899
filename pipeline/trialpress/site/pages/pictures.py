"""The photos of a machine's runs.

In:  the photos of the store and their published copies.
Out: ``RunPhoto``, each with the run it shows.
"""

from __future__ import annotations

from dataclasses import dataclass

from trialpress.site import urls
from trialpress.site.frame import Link
from trialpress.site.material import Material
from trialpress.words import figures


@dataclass(frozen=True)
class RunPhoto:
    """The published copy of a photo, and the run it shows."""

    url: str
    width_px: int
    height_px: int
    caption: str
    alt: str
    run: Link


def photos_of_machine(material: Material, machine: str) -> tuple[RunPhoto, ...]:
    """The photos of the runs of all set-ups of one machine, oldest day first."""
    view = material.view
    photos = []
    for photo in view.photos:
        run = view.run[photo.run]
        if view.setup[run.setup].machine != machine:
            continue
        copy = material.photos[photo.photo]
        series = view.series[(run.protocol, run.series_version)].name.full
        words = f"{series}, {figures.moment(run.at)}"
        photos.append(
            RunPhoto(
                url=copy.url,
                width_px=copy.width_px,
                height_px=copy.height_px,
                caption=photo.caption,
                alt=photo.alt,
                run=Link(words, urls.run_url(machine, run.run)),
            )
        )
    return tuple(photos)
