"""The rules of a bench that no Table Schema can say; one module a theme.

In:  ``BenchRecords``: rows that are right by themselves.
Out: all findings of all rules; none stops another.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from trialpress.intake.findings import Finding, Severity
from trialpress.intake.rules.containers import check_containers
from trialpress.intake.rules.dates import check_dates
from trialpress.intake.rules.far_off import check_far_off
from trialpress.intake.rules.gradings import check_gradings
from trialpress.intake.rules.photos import check_photos
from trialpress.intake.rules.protocols import check_kinds, check_protocols
from trialpress.intake.rules.records import BenchRecords
from trialpress.intake.rules.result import check_results
from trialpress.intake.rules.runs import check_readings, check_replicates
from trialpress.intake.rules.units import check_claims, check_instruments
from trialpress.intake.rules.weighings import check_weighings

_RULES = (
    check_dates,
    check_protocols,
    check_claims,
    check_readings,
    check_replicates,
    check_weighings,
    check_kinds,
    check_instruments,
    check_gradings,
    check_photos,
)
_OF_RESULTS = (check_results, check_containers, check_far_off)
"""Rules for what a run's readings make together: nothing is said of a run at fault already."""


def check_rules(records: BenchRecords, hidden: frozenset[str] = frozenset()) -> Iterator[Finding]:
    """Run every rule.

    What readings make together is not looked at for ``hidden`` runs: what is said of the others
    must not depend on them. Without a date nothing is hidden.
    """
    findings = [finding for rule in _RULES for finding in rule(records)]
    yield from findings
    sound = records.without(_at_fault(records, findings) | hidden)
    for rule in _OF_RESULTS:
        yield from rule(sound)


def _at_fault(records: BenchRecords, findings: Iterable[Finding]) -> frozenset[str]:
    """Runs with an error in one of their rows."""
    places = {
        (finding.file, finding.row) for finding in findings if finding.severity is Severity.ERROR
    }
    return frozenset(
        run.run
        for run in (*records.runs, *records.gradings)
        if (run.row.file, run.row.number) in places
    )
