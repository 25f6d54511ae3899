"""What a page says to machines, in the words of schema.org, without any invented rating.

In:  the source and a page.
Out: JSON for a data block, or None where there is nothing to say.

Source: schema.org, types DataCatalog and ItemList; ``view/described.py`` has the dataset.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from trialpress.charts.chart import Json
from trialpress.site import urls
from trialpress.site.pages.data import DataPage
from trialpress.site.pages.home import HomePage
from trialpress.site.pages.machines import MachinesPage
from trialpress.site.pages.overall import OverallPage
from trialpress.site.pages.standing import StandingPage
from trialpress.site.source import Download, SiteSource
from trialpress.site.templates import Page
from trialpress.view import View
from trialpress.view.described import CONTEXT, described_dataset, described_files


def data_block_of(source: SiteSource, page: Page) -> Json:
    """What one page says to machines."""
    view = source.view
    match page:
        case HomePage():
            return _catalogue(view)
        case DataPage():
            return {"@context": CONTEXT, **_dataset(view, source.downloads)}
        case StandingPage():
            return _items(page, ((row.line.name.full, row.line.name.url) for row in page.rows))
        case OverallPage():
            return _items(page, ((row.name.full, row.name.url) for row in page.rows))
        case MachinesPage():
            names = [(view.names.machines[row.machine], row.machine) for row in view.machines]
            return _items(page, ((name, urls.machine_url(slug)) for name, slug in names))
        case _:
            return None


def _catalogue(view: View) -> Json:
    settings = view.settings
    return {
        "@context": CONTEXT,
        "@type": "DataCatalog",
        "name": settings.name,
        "url": settings.base_url,
        "dataset": _dataset(view, ()),
    }


def _dataset(view: View, downloads: Sequence[Download]) -> dict[str, Json]:
    base = view.settings.base_url
    described: dict[str, Json] = described_dataset(view, base + urls.DATA)
    if downloads:
        files = [(file.name, file.size_bytes, file.description) for file in downloads]
        described["distribution"] = [*described_files(base + urls.download_url(""), files)]
    return described


def _items(page: Page, items: Iterable[tuple[str, str]]) -> Json:
    frame = page.frame
    base = frame.canonical.removesuffix(frame.url)
    elements: list[Json] = [
        {"@type": "ListItem", "position": position, "name": name, "url": base + url}
        for position, (name, url) in enumerate(items, start=1)
    ]
    return {
        "@context": CONTEXT,
        "@type": "ItemList",
        "name": frame.title,
        "description": frame.description,
        "numberOfItems": len(elements),
        "itemListElement": elements,
    }
