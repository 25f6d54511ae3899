"""A rule for numbering: a replicate number is typed once in a set-up and protocol version.

In:  runs of all days.
Out: findings. Gaps and late arrivals are no fault. A void run may share its number with the run
     that took its place, where both are typed; a planned run has none yet, whatever is typed.
"""

from __future__ import annotations

from collections.abc import Iterator

from trialpress.intake.findings import Finding, FindingCode, found
from trialpress.intake.records import Run
from trialpress.intake.rules.facts import Facts


def check_replicates(facts: Facts) -> Iterator[Finding]:
    """Find numbers that two runs of one set-up and protocol version have."""
    first: dict[tuple[str, str, int, int], Run] = {}
    runs = (run for run in facts.runs if run.replicate is not None and run.is_valid)
    for run in sorted(runs, key=lambda run: (run.day, run.place().file, run.row.number)):
        key = (run.setup, run.protocol, run.version, run.replicate or 0)
        earlier = first.setdefault(key, run)
        if earlier is not run:
            place = run.place("replicate")
            yield found(
                FindingCode.REPLICATE_REPEATED,
                place,
                run.text("replicate"),
                setup=run.setup,
                first=earlier.place().seen_from(place),
            )
