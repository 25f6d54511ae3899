"""The dataset described for machines, in the words of schema.org.

In:  the view, the address of the page that describes the dataset, and its files.
Out: JSON of a Dataset. Pages carry it in their head, the dataset as a file.

Source: schema.org, types Dataset and DataDownload.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from trialpress.view.view import View
from trialpress.words import say

ENCODINGS = {
    ".csv": "text/csv",
    ".parquet": "application/vnd.apache.parquet",
    ".sqlite": "application/vnd.sqlite3",
    ".xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    ".zip": "application/zip",
    ".json": "application/json",
    ".jsonld": "application/ld+json",
    ".md": "text/markdown",
}
CONTEXT = "https://schema.org"


def described_dataset(view: View, address: str) -> dict[str, Any]:
    """The dataset as of the view's date; ``address`` is the page that describes it."""
    settings = view.settings
    days = sorted({run.day_date for run in view.runs if run.status == "valid"})
    described: dict[str, Any] = {
        "@type": "Dataset",
        "@id": address,
        "name": say("{bench}: cleaning trials", bench=settings.name),
        "description": say(
            "Readings and results of cleaning machines run on one bench: every run, its "
            "uncertainty, and the places the runs cannot rule out."
        ),
        "url": address,
        "isAccessibleForFree": True,
        "license": {"@type": "CreativeWork", "name": settings.licence},
        "creator": {"@type": "Organization", "name": settings.name, "url": settings.base_url},
        "variableMeasured": [
            {"@type": "PropertyValue", "name": series.title, "unitText": series.unit}
            for series in view.current_series
        ],
    }
    if days:
        described["temporalCoverage"] = f"{days[0]}/{days[-1]}"
    return described


def described_files(base: str, files: Sequence[tuple[str, int, str]]) -> list[dict[str, Any]]:
    """Files of the dataset, each a path below the address ``base``, its bytes and a sentence."""
    return [
        {
            "@type": "DataDownload",
            "name": name,
            "description": description,
            "contentUrl": base + name,
            "contentSize": f"{size_bytes} B",
            "encodingFormat": ENCODINGS.get("." + name.rpartition(".")[2], "text/plain"),
        }
        for name, size_bytes, description in files
    ]
