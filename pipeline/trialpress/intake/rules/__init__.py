"""The rules of a bench that no Table Schema can say; one module a theme.

In:  ``Facts``: rows that are right by themselves.
Out: all findings of all rules; none stops another.
"""

from __future__ import annotations

from collections.abc import Iterator

from trialpress.intake.findings import Finding
from trialpress.intake.rules.claims import check_claims
from trialpress.intake.rules.dates import check_dates
from trialpress.intake.rules.facts import Facts
from trialpress.intake.rules.gradings import check_gradings
from trialpress.intake.rules.instruments import check_instruments
from trialpress.intake.rules.photos import check_photos
from trialpress.intake.rules.protocols import check_protocols
from trialpress.intake.rules.readings import check_readings
from trialpress.intake.rules.replicates import check_replicates
from trialpress.intake.rules.weighings import check_weighings

_RULES = (
    check_dates,
    check_protocols,
    check_claims,
    check_readings,
    check_replicates,
    check_weighings,
    check_instruments,
    check_gradings,
    check_photos,
)


def check_rules(facts: Facts) -> Iterator[Finding]:
    """Run every rule."""
    for rule in _RULES:
        yield from rule(facts)
