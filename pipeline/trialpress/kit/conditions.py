"""How the results of a kit were come by: what a run is, what was configured, who paid.

In:  the source of a kit.
Out: a paragraph a protocol, one on the set-up, one on how the machine was acquired.

Short: sentences over rows that other stages word.
"""

from __future__ import annotations

from collections.abc import Iterator

from trialpress.kit.making import Source
from trialpress.site.pages.parameters import parameters
from trialpress.view import terms
from trialpress.view.typed import Setup
from trialpress.words import say


def conditions_of(source: Source) -> tuple[str, ...]:
    """One paragraph a protocol, as the site's ticket of it says."""
    return tuple(
        say(
            "{title}: {conditions}.",
            title=series.name.full,
            conditions="; ".join(
                f"{entry.what}: {entry.text}" for entry in parameters(source.view, series)
            ),
        )
        for series in source.subject.series
    )


def setups_of(source: Source) -> tuple[str, ...]:
    """How each set-up that is looked at was configured, where that was noted."""
    view = source.view
    return tuple(
        say(
            "{name}: {parts}.",
            name=view.names.setups[setup].full,
            parts="; ".join(_parts(view.setup[setup])),
        )
        for setup in (*source.subject.setups, *source.subject.against)
        if any(_parts(view.setup[setup]))
    )


def _parts(setup: Setup) -> Iterator[str]:
    parts = (
        (say("brushes"), setup.brushes),
        (say("mode"), setup.mode),
        (say("pattern"), setup.pattern),
        (say("overlap"), setup.overlap),
        (say("water"), setup.water),
        (say("firmware"), setup.firmware),
        (say("specimen"), setup.specimen),
    )
    return (f"{what}: {text}" for what, text in parts if text)


def acquisition_of(source: Source) -> tuple[str, ...]:
    """How each machine that is looked at came to the bench."""
    view = source.view
    setups = (*source.subject.setups, *source.subject.against)
    machines = dict.fromkeys(view.setup[setup].machine for setup in setups)
    return tuple(
        say(
            "{machine}: {how}.",
            machine=view.names.machines[machine],
            how=terms.ACQUIRED[view.machine[machine].acquired],
        )
        for machine in machines
    )
