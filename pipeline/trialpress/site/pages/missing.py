"""Which runs are still to be made: of one set-up, or planned in one series.

In:  the runs of the view, and what the protocols ask for.
Out: sentences; none where nothing is missing.
"""

from __future__ import annotations

from trialpress.bench import applies_to
from trialpress.site import wording
from trialpress.view import SeriesKey, View
from trialpress.words import figures, say, say_count


def missing_runs(view: View, setup: str) -> tuple[str, ...]:
    """Current protocols for its kind in which a set-up has fewer runs than asked for, or none."""
    few, never = [], []
    kind = view.machine[view.setup[setup].machine].kind
    for series in view.current_series:
        runs = view.runs_of.get(((series.protocol, series.version), setup), ())
        valid = sum(run.status == "valid" for run in runs)
        if not valid and not applies_to(series.kinds, kind):
            continue
        if not valid:
            never.append(series.title)
        elif valid < series.min_runs:
            few.append(f"{series.title} ({wording.share(valid, series.min_runs)})")
    told = (
        say("Fewer runs than asked for: {protocols}.", protocols=figures.listing(few))
        if few
        else "",
        say("No valid run yet: {protocols}.", protocols=figures.listing(never)) if never else "",
    )
    return tuple(sentence for sentence in told if sentence)


def open_plan(view: View, key: SeriesKey) -> str:
    """That planned runs of a series are still to be made, and what it means; blank without any."""
    planned = sum(
        run.status == "planned" and (run.protocol, run.series_version) == key for run in view.runs
    )
    if not planned:
        return ""
    return say_count(
        "{runs} is still to be made: a plan is read once, when all its runs are done, so this "
        "standing is not its verdict.",
        "{runs} are still to be made: a plan is read once, when all its runs are done, so this "
        "standing is not its verdict.",
        planned,
        runs=figures.count(planned, "planned run", "planned runs"),
    )
