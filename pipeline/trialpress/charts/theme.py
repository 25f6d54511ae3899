"""The one palette, by role, shared by the site's style sheet, the charts and the stills.

In:  ``theme.json`` beside this file: two palettes (light, dark) and the charts' type face.
Out: a ``Theme``, and the style sheet that hands the palette to the site.

The roles: *paper* is the page, *panel* a quiet ground on it, *wash* the ground of the top cut;
*ink* and *muted* write on all three; *rule* is for hairlines that carry no meaning (the edge of a
form control needs *muted*); *accent* marks the one you are looking at, *top_cut* the line of the
cut, *doubt* what rests on borrowed or missing evidence, *link* and *focus* what can be followed.
No role is ever told by colour alone.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass, fields
from importlib.resources import files
from pathlib import Path

FOLDER = "site_templates"


@dataclass(frozen=True)
class Palette:
    """One colour a role, each as ``#rrggbb``."""

    paper: str
    panel: str
    wash: str
    ink: str
    muted: str
    rule: str
    accent: str
    top_cut: str
    doubt: str
    link: str
    focus: str

    def roles(self) -> Iterator[tuple[str, str]]:
        """Every role with its colour, in the order above."""
        return ((field.name, getattr(self, field.name)) for field in fields(self))


@dataclass(frozen=True)
class Theme:
    """The two palettes and the type face that charts are set in."""

    light: Palette
    dark: Palette
    chart_face: str


def shipped_templates() -> Path:
    """The site's own templates: inside the package, or beside ``pipeline/`` in a checkout."""
    package = Path(__file__).resolve().parents[1]
    installed = package / FOLDER
    return installed if installed.is_dir() else package.parents[1] / FOLDER


def read_theme() -> Theme:
    """The theme that comes with the package."""
    text = files(__package__).joinpath("theme.json").read_text(encoding="utf-8")
    raw = json.loads(text)
    return Theme(Palette(**raw["light"]), Palette(**raw["dark"]), raw["chart_face"])


def palette_css(theme: Theme) -> str:
    """The style sheet that defines ``--paper``, ``--ink`` and the rest, light and dark.

    Charts are drawn in the light palette, as attributes. The last rules tie each of those colours
    to its role, so that a picture inside a page follows the page into the dark.

    Parameters
    ----------
    theme : Theme
        Palettes by role.

    Returns
    -------
    str
        CSS. The reader's system decides between light and dark, ``data-theme`` on the root
        element overrules it, and paper is always light.
    """
    light, dark = _variables("light", theme.light), _variables("dark", theme.dark)
    return "\n".join(
        (
            f":root {{{light}}}",
            "@media screen and (prefers-color-scheme: dark) {",
            f':root:not([data-theme="light"]) {{{dark}}}',
            "}",
            "@media screen {",
            f':root[data-theme="dark"] {{{dark}}}',
            "}",
            *(_follow(role, colour) for role, colour in theme.light.roles()),
            "",
        )
    )


def _variables(scheme: str, palette: Palette) -> str:
    colours = "".join(f" {_variable(role)}: {colour};" for role, colour in palette.roles())
    return f" color-scheme: {scheme};{colours} "


def _follow(role: str, colour: str) -> str:
    return "\n".join(
        f'svg [{paint}="{colour}"] {{ {paint}: var({_variable(role)}); }}'
        for paint in ("fill", "stroke")
    )


def _variable(role: str) -> str:
    return "--" + role.replace("_", "-")


THEME = read_theme()
COLOURS = THEME.light
TEXT_SIZE = 13
SMALL_TEXT_SIZE = 12
"""Pixels; what charts are written in."""
HAIRLINE, LINE_WIDTH, THIN_LINE = 0.6, 2, 1.6
DOT_SIZE = 62
"""Square pixels."""
DASHES = "3,3"
