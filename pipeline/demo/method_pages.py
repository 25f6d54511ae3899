"""Method pages: how a run of each protocol is made.

In:  a text for each protocol with ``$names`` for the figures of its row, and the cautions that
     several protocols share, both in ``methods/``.
Out: the text of ``catalogue/methods/<protocol>.md``.
"""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from string import Template

from demo.protocols import PROTOCOLS

_TEXTS = Path(__file__).parent / "methods"
_CAUTIONS = {
    "deep-rug": ("dust", "mains", "batteries", "noise"),
    "carpet": ("dust", "mains", "batteries", "noise"),
    "crevices": ("dust", "mains", "batteries", "noise"),
    "crumbs": ("mains", "batteries", "noise"),
    "hair": ("mains", "batteries", "noise"),
    "stain": ("wet", "batteries", "noise"),
    "noise": ("mains", "batteries", "noise"),
    "runtime": ("batteries", "noise"),
}


def method_pages() -> dict[str, str]:
    """Text of each protocol's page; the figures are those of its newest version."""
    newest = {row.protocol: row for row in PROTOCOLS}
    return {name: _page(name, asdict(row)) for name, row in newest.items()}


def _page(protocol: str, figures: dict[str, str]) -> str:
    text = (_TEXTS / f"{protocol}.md").read_text(encoding="utf-8")
    cautions = [
        (_TEXTS / "cautions" / f"{caution}.md").read_text(encoding="utf-8").rstrip()
        for caution in (*_CAUTIONS[protocol], "everyone")
    ]
    return Template(text).substitute(figures) + "\n".join(("\n## Cautions\n", *cautions)) + "\n"
