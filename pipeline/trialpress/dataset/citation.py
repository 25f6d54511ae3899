"""How to cite the dataset, for programs that collect citations.

In:  what the bench says of itself, and the release.
Out: the text of ``CITATION.cff``.

Source: Citation File Format 1.2.0. Its values are written as JSON strings, which YAML reads alike.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import date

from trialpress.bench import Settings
from trialpress.words import say

CITATION_FILE = "CITATION.cff"
KNOWN_LICENCES = frozenset(
    {
        *("CC0-1.0", "CC-BY-3.0", "CC-BY-4.0", "CC-BY-SA-3.0", "CC-BY-SA-4.0"),
        *("CC-BY-NC-4.0", "CC-BY-ND-4.0", "CC-BY-NC-SA-4.0", "CC-BY-NC-ND-4.0"),
        *("ODbL-1.0", "ODC-By-1.0", "PDDL-1.0", "CDLA-Permissive-2.0", "CDLA-Sharing-1.0"),
    }
)
"""Licences for data by their SPDX identifiers; the format takes no other words for one."""


def citation_text(settings: Settings, as_of: date, version: str, address: str) -> str:
    """The text of ``CITATION.cff``.

    Parameters
    ----------
    settings : Settings
        Of the bench, which is the author.
    as_of : date
        The day it was released on.
    version : str
        Of the dataset.
    address : str
        Where this version is described.
    """
    return "".join(f"{line}\n" for line in _lines(settings, as_of, version, address))


def _lines(settings: Settings, as_of: date, version: str, address: str) -> Iterator[str]:
    yield "cff-version: 1.2.0"
    yield f"message: {_quoted(say('If you use these data, please cite them as below.'))}"
    yield "type: dataset"
    yield f"title: {_quoted(say('{name}: the dataset', name=settings.name))}"
    yield f"version: {_quoted(version)}"
    yield f"date-released: {_quoted(as_of.isoformat())}"
    yield f"url: {_quoted(address)}"
    if settings.licence in KNOWN_LICENCES:
        yield f"license: {settings.licence}"
    yield "authors:"
    yield f"  - name: {_quoted(settings.name)}"
    yield f"    website: {_quoted(settings.base_url)}"


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)
