"""How set-ups and series are named, and where a set-up's name leads.

In:  a set-up's slug and the facts, or a series.
Out: a ``SetupName``: machine with maker, what sets the set-up apart, address; a series in words.
"""

from __future__ import annotations

from dataclasses import dataclass

from trialpress.site import urls
from trialpress.site.facts import Facts
from trialpress.site.rows import Protocol
from trialpress.words import say


@dataclass(frozen=True)
class SetupName:
    """A set-up in words. ``label`` is what sets it apart from the machine's other set-ups."""

    setup: str
    machine: str
    label: str
    url: str
    is_reference: bool

    @property
    def full(self) -> str:
        """Machine and label in one phrase, for a sentence."""
        return f"{self.machine} ({self.label})"


def series_name(series: Protocol) -> str:
    """A series in words; one that is not the protocol's current one says its version."""
    if series.is_current:
        return series.title
    return say("{title}, version {version}", title=series.title, version=series.version)


def setup_name(facts: Facts, setup: str) -> SetupName:
    """The name of one set-up."""
    row = facts.setup[setup]
    return SetupName(
        setup=setup,
        machine=facts.full_name(row.machine),
        label=row.label,
        url=urls.machine_url(row.machine),
        is_reference=row.reference,
    )
