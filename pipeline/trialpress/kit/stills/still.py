"""One still of a kit, and what says the same to those who cannot see it.

In:  nothing; this is the shape.
Out: ``Still``.

Short: one record, which every kind of still makes and the writer reads.
"""

from __future__ import annotations

from dataclasses import dataclass

from trialpress.kit.scene import Scene


@dataclass(frozen=True)
class FigureTable:
    """The figures of a chart as text: headings, and rows of as many cells."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Still:
    """One still.

    Attributes
    ----------
    name : str
        Slug, unique in the kit.
    title : str
        What it is of.
    alt : str
        Text alternative: what it shows, in a few sentences.
    table : FigureTable
        Every figure on it.
    wide : Scene
        1920 by 1080.
    tall : Scene or None
        1080 by 1920, where there is one.
    is_large : bool
        Whether it is also wanted at 3840 by 2160.
    steps : tuple of Scene
        The same still line by line, from the last to the first; blank where nothing is revealed.
    """

    name: str
    title: str
    alt: str
    table: FigureTable
    wide: Scene
    tall: Scene | None = None
    is_large: bool = False
    steps: tuple[Scene, ...] = ()
