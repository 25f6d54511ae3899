"""Rules for the kinds of machines a protocol applies to.

In:  protocols, machines and runs.
Out: findings. Where a protocol names no kinds, it applies to all.
"""

from __future__ import annotations

from collections.abc import Iterator

from trialpress.bench import applies_to, kinds_of
from trialpress.intake.findings import Finding, FindingCode, found
from trialpress.intake.nearest import nearest
from trialpress.intake.rules.facts import Facts


def check_kinds(facts: Facts) -> Iterator[Finding]:
    """Check that kinds are kinds of some machine, and that runs are of a kind that is meant.

    Where the row of some machine is at fault, nothing is said of kinds that nobody has: its own may
    be one of them.
    """
    known = frozenset(facts.kind_of_setup.values())
    for protocol in facts.protocols.values():
        for kind in () if facts.has_faulty_machines else kinds_of(protocol.kinds):
            if kind not in known:
                near = nearest(kind, known)
                yield found(
                    FindingCode.KIND_UNKNOWN,
                    protocol.place("kinds"),
                    kind,
                    variant="nearest" if near else "",
                    nearest=near,
                    known=", ".join(sorted(known)) or "none yet",
                )
    for run in facts.runs:
        meant, own = facts.protocol_of(run), facts.kind_of_setup.get(run.setup)
        if meant is None or own is None or run.is_void or applies_to(meant.kinds, own):
            continue
        if not known.issuperset(kinds_of(meant.kinds)):
            continue  # a kind that nobody has is told of the protocol, not of every run
        place, kinds = run.place("setup"), meant.text("kinds")
        yield found(FindingCode.RUN_OTHER_KIND, place, run.setup, kind=own, kinds=kinds)
