"""Cautions for people who repeat a trial, each carried where it applies.

In:  the versions of a protocol and the machines that were run under it.
Out: sentences, the gravest first. They never replace a data sheet or a qualified person.
"""

from __future__ import annotations

from collections.abc import Iterable

from trialpress.site import wording
from trialpress.view.typed import Machine, Protocol, Setup
from trialpress.words import message, say

DUST = message(
    "Fine test dusts can contain respirable crystalline silica. Read the safety data sheet, wear a "
    "fitted respirator, avoid dry sweeping, and ventilate."
)
WET = message(
    "Wet tests and mains power do not mix: use a residual-current device, and open nothing while "
    "it is plugged in."
)
LITHIUM = message("Lithium packs: use no damaged pack, and never leave one charging on its own.")
NOISE = message("Machines are loud at close range: protect your hearing.")
DEFER = message(
    "Local rules and qualified people come before this page. Results are one bench's, on its own "
    "specimens."
)
BATTERY_KINDS = frozenset({"robot", "stick", "handheld"})


def cautions_for(
    versions: Iterable[Protocol], machines: Iterable[Machine], setups: Iterable[Setup]
) -> tuple[str, ...]:
    """The cautions that apply to a protocol and to what was run under it."""
    versions, machines = tuple(versions), tuple(machines)
    hazards = dict.fromkeys(version.soil_hazard for version in versions if version.soil_hazard)
    is_wet = any(setup.water for setup in setups) or any(m.kind == "wet-dry" for m in machines)
    told = (
        *((wording.sentence(hazard), True) for hazard in hazards),
        (say(DUST), any(version.soil for version in versions)),
        (say(WET), is_wet),
        (say(LITHIUM), any(machine.kind in BATTERY_KINDS for machine in machines)),
        (say(NOISE), True),
        (say(DEFER), True),
    )
    return tuple(sentence for sentence, applies in told if applies)
