"""What a page says to machines, in the words of schema.org, without any invented rating.

In:  the material and a page.
Out: JSON for a data block, or None where there is nothing to say.

Source: schema.org, types DataCatalog, Dataset, DataDownload and ItemList.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from trialpress.charts.chart import Json
from trialpress.site import urls
from trialpress.site.material import Download, Material
from trialpress.site.pages.data import DataPage
from trialpress.site.pages.home import HomePage
from trialpress.site.pages.machines import MachinesPage
from trialpress.site.pages.overall import OverallPage
from trialpress.site.pages.standing import StandingPage
from trialpress.site.templates import Page
from trialpress.view import View
from trialpress.words import say

CONTEXT = "https://schema.org"
ENCODINGS = {
    ".csv": "text/csv",
    ".parquet": "application/vnd.apache.parquet",
    ".zip": "application/zip",
    ".json": "application/json",
    ".md": "text/markdown",
}


def data_block_of(material: Material, page: Page) -> Json:
    """What one page says to machines."""
    view = material.view
    match page:
        case HomePage():
            return _catalogue(view)
        case DataPage():
            return {"@context": CONTEXT, **_dataset(view, material.downloads)}
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
    settings = view.settings
    days = sorted({run.day_date for run in view.runs if run.status == "valid"})
    told: dict[str, Json] = {
        "@type": "Dataset",
        "@id": settings.base_url + urls.DATA,
        "name": say("{bench}: cleaning trials", bench=settings.name),
        "description": say(
            "Readings and results of cleaning machines run on one bench: every run, its "
            "uncertainty, and the places the runs cannot rule out."
        ),
        "url": settings.base_url + urls.DATA,
        "isAccessibleForFree": True,
        "license": {"@type": "CreativeWork", "name": settings.licence},
        "creator": {"@type": "Organization", "name": settings.name, "url": settings.base_url},
        "variableMeasured": [
            {"@type": "PropertyValue", "name": series.title, "unitText": series.unit}
            for series in view.current_series
        ],
    }
    if days:
        told["temporalCoverage"] = f"{days[0]}/{days[-1]}"
    if downloads:
        told["distribution"] = [_download(settings.base_url, file) for file in downloads]
    return told


def _download(base_url: str, file: Download) -> Json:
    ending = "." + file.name.rpartition(".")[2]
    return {
        "@type": "DataDownload",
        "name": file.name,
        "description": file.description,
        "contentUrl": base_url + urls.download_url(file.name),
        "contentSize": f"{file.size_bytes} B",
        "encodingFormat": ENCODINGS.get(ending, "text/plain"),
    }


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
