"""What a page or a sheet says of how a run is made: the method's text, and its cautions.

In:  Markdown as the tester wrote it; the versions of a protocol and what was run under them.
Out: HTML that is safe to show: raw HTML stays text, pictures are left out, the text's own title
     gives way to the page's, other headings start one level below the page's sections. Cautions
     for people who repeat a trial, the gravest first: they never replace a data sheet or a
     qualified person.
"""

from __future__ import annotations

from collections.abc import Iterable

from markdown_it import MarkdownIt
from markdown_it.token import Token
from markupsafe import Markup

from trialpress.site import wording
from trialpress.view.typed import Machine, Protocol, Setup
from trialpress.words import message, say

HIGHEST_LEVEL = 3
LOWEST_LEVEL = 6
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


def method_html(markdown: str) -> Markup:
    """The text of one method as HTML."""
    return _rendered(_tokens(markdown))


def method_parts(markdown: str) -> tuple[Markup | None, Markup]:
    """The same in two: what it is for, so that cautions can come right after it, and the rest.

    What it is for is the first section, its heading one level higher; None where there is no other.
    """
    tokens = _tokens(markdown)
    headings = [i for i, token in enumerate(tokens) if token.type == "heading_open" and i]
    first = tokens[: headings[0]] if headings else []
    for token in first[:3]:
        if token.type in {"heading_open", "heading_close"}:
            token.tag = f"h{HIGHEST_LEVEL - 1}"
    return _rendered(first) if first else None, _rendered(tokens[len(first) :])


READER = MarkdownIt("commonmark", {"html": False}).enable("table").disable("image")


def _tokens(markdown: str) -> list[Token]:
    tokens = _without_title(READER.parse(markdown))
    _lower_headings(tokens)
    return tokens


def _rendered(tokens: list[Token]) -> Markup:
    return Markup(READER.renderer.render(tokens, READER.options, {}))  # noqa: S704 - HTML is off


def _without_title(tokens: list[Token]) -> list[Token]:
    heading = ("heading_open", "inline", "heading_close")
    starts_with_title = tuple(token.type for token in tokens[:3]) == heading
    return tokens[3:] if starts_with_title and tokens[0].tag == "h1" else tokens


def _lower_headings(tokens: list[Token]) -> None:
    levels = [int(token.tag[1]) for token in tokens if token.type == "heading_open"]
    down = HIGHEST_LEVEL - min(levels, default=HIGHEST_LEVEL)
    for token in tokens:
        if token.type in {"heading_open", "heading_close"}:
            token.tag = f"h{min(int(token.tag[1]) + down, LOWEST_LEVEL)}"


def cautions_for(
    versions: Iterable[Protocol], machines: Iterable[Machine], setups: Iterable[Setup]
) -> tuple[str, ...]:
    """The cautions that apply to a protocol and to what was run under it."""
    versions, machines = tuple(versions), tuple(machines)
    hazards = dict.fromkeys(version.soil_hazard for version in versions if version.soil_hazard)
    is_wet = any(setup.water for setup in setups) or any(m.kind == "wet-dry" for m in machines)
    cautions = (
        *((wording.sentence(hazard), True) for hazard in hazards),
        (say(DUST), any(version.soil for version in versions)),
        (say(WET), is_wet),
        (say(LITHIUM), any(machine.kind in BATTERY_KINDS for machine in machines)),
        (say(NOISE), True),
        (say(DEFER), True),
    )
    return tuple(sentence for sentence, applies in cautions if applies)
