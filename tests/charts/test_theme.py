"""The palette: readable by the numbers, told apart without colour vision, handed on whole."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from numpy.typing import NDArray

from trialpress.charts.theme import Palette, palette_css, read_theme

Colour = NDArray[np.float64]

# Machado, Oliveira and Fernandes, "A Physiologically-based Model for Simulation of Color Vision
# Deficiency", IEEE TVCG 15(6), 2009: matrices at severity 1.0, for linear RGB.
VISION = {
    "normal": np.eye(3),
    "protanopia": np.array(
        [
            [0.152286, 1.052583, -0.204868],
            [0.114503, 0.786281, 0.099216],
            [-0.003882, -0.048116, 1.051998],
        ]
    ),
    "deuteranopia": np.array(
        [
            [0.367322, 0.860646, -0.227968],
            [0.280085, 0.672501, 0.047413],
            [-0.011820, 0.042940, 0.968881],
        ]
    ),
    "tritanopia": np.array(
        [
            [1.255528, -0.076749, -0.178779],
            [-0.078411, 0.930809, 0.147602],
            [0.004733, 0.691367, 0.303900],
        ]
    ),
}
# sRGB to XYZ and the D65 white point: IEC 61966-2-1. Distances are CIE 1976 L*a*b* (CIE 15).
XYZ = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
WHITE = np.array([0.9505, 1.0, 1.0890])

PALETTES = {"light": read_theme().light, "dark": read_theme().dark}
GROUNDS = ("paper", "panel", "wash")
WORDS = ("ink", "muted", "accent", "top_cut", "doubt", "link")


def linear(colour: str) -> Colour:
    channels = np.array([int(colour[start : start + 2], 16) for start in (1, 3, 5)]) / 255
    return np.where(channels <= 0.04045, channels / 12.92, ((channels + 0.055) / 1.055) ** 2.4)


def contrast(one: str, other: str) -> float:
    """The contrast ratio of WCAG 2.2."""
    darker, lighter = sorted(float(XYZ[1] @ linear(colour)) for colour in (one, other))
    return (lighter + 0.05) / (darker + 0.05)


def lab(rgb: Colour) -> Colour:
    ratio = XYZ @ np.clip(rgb, 0, 1) / WHITE
    f = np.where(ratio > (6 / 29) ** 3, np.cbrt(ratio), ratio * (29 / 6) ** 2 / 3 + 4 / 29)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def distance(one: str, other: str, vision: str) -> float:
    seen = [lab(VISION[vision] @ linear(colour)) for colour in (one, other)]
    return float(np.linalg.norm(seen[0] - seen[1]))


def test_the_formulas_give_the_known_extremes() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert distance("#000000", "#ffffff", "normal") == pytest.approx(100.0, abs=0.02)


@pytest.mark.parametrize("palette", PALETTES.values(), ids=PALETTES)
def test_every_word_reads_on_every_ground(palette: Palette) -> None:
    colours = dict(palette.roles())

    ratios = {(w, g): contrast(colours[w], colours[g]) for w in WORDS for g in GROUNDS}

    assert {pair: ratio for pair, ratio in ratios.items() if ratio < 4.5} == {}


@pytest.mark.parametrize("palette", PALETTES.values(), ids=PALETTES)
def test_the_focus_ring_stands_out_from_every_ground(palette: Palette) -> None:
    colours = dict(palette.roles())

    assert min(contrast(palette.focus, colours[ground]) for ground in GROUNDS) >= 3


@pytest.mark.parametrize("vision", VISION)
@pytest.mark.parametrize("palette", PALETTES.values(), ids=PALETTES)
def test_marks_are_told_apart_in_every_kind_of_vision(palette: Palette, vision: str) -> None:
    marks = (palette.ink, palette.accent, palette.top_cut, palette.doubt)

    distances = [distance(a, b, vision) for a, b in itertools.combinations(marks, 2)]

    assert min(distances) >= 20


@pytest.mark.parametrize("vision", VISION)
@pytest.mark.parametrize("palette", PALETTES.values(), ids=PALETTES)
def test_the_top_cut_can_be_seen_on_the_paper(palette: Palette, vision: str) -> None:
    assert distance(palette.wash, palette.paper, vision) >= 10


def test_no_two_roles_share_a_colour_as_charts_are_recoloured_by_it() -> None:
    for palette in PALETTES.values():
        colours = [colour for _, colour in palette.roles()]
        assert len(set(colours)) == len(colours)


def test_the_style_sheet_ties_each_light_colour_to_its_role() -> None:
    theme = read_theme()

    css = palette_css(theme)

    for role, colour in theme.light.roles():
        variable = "--" + role.replace("_", "-")
        assert f'svg [fill="{colour}"] {{ fill: var({variable}); }}' in css
        assert f'svg [stroke="{colour}"] {{ stroke: var({variable}); }}' in css


def test_the_style_sheet_follows_the_reader_and_then_the_page_into_the_dark() -> None:
    theme = read_theme()

    css = palette_css(theme)

    by_system = css.index("prefers-color-scheme: dark")
    by_page = css.index(':root[data-theme="dark"]')
    assert css.index(theme.light.paper) < by_system < css.index(theme.dark.paper) < by_page
    assert ':root:not([data-theme="light"])' in css
