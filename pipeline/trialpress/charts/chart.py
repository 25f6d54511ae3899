"""What the charts stage hands on.

In:  nothing; these are the shapes.
Out: ``Charts``, which the site puts on its pages.

A ``Chart`` comes in two layouts, *wide* and *narrow* (a phone), each as a picture and as the
compiled Vega specification that redraws exactly this picture. A page holds both and shows one.
``Strips`` are drawn by the page, once for any width.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TypeAlias

Json: TypeAlias = bool | int | float | str | list["Json"] | dict[str, "Json"] | None


@dataclass(frozen=True)
class Chart:
    """One chart, in words, as pictures and as specifications.

    Attributes
    ----------
    name : str
        Slug, unique in the site.
    title : str
        What the chart shows; the picture's accessible name.
    description : str
        Text alternative, one or two sentences.
    caption : str
        How to read the chart, for everybody, one to four sentences.
    svg, svg_narrow : str
        Self-contained pictures, as wide as their place, ids unique to the chart and layout.
    vega, vega_narrow : dict
        Compiled Vega specifications with their data. Signals: ``shown`` (null for all, or an array
        of set-ups) and ``chosen`` (a set-up or null).
    finding : str
        What it shows in this case, in a line; blank where that cannot be said.
    """

    name: str
    title: str
    description: str
    caption: str
    svg: str
    svg_narrow: str
    vega: dict[str, Json]
    vega_narrow: dict[str, Json]
    finding: str = ""

    @property
    def heading(self) -> str:
        """What stands over it: what is found, where that can be said in a line."""
        return self.finding or self.title


@dataclass(frozen=True)
class StripDot:
    """One circle; ``along`` in percent."""

    along: str
    down: int
    reading: str
    is_open: bool = False
    is_run: bool = False


@dataclass(frozen=True)
class DayWords:
    """The date of the runs on one line, at its other end where they stand at its beginning."""

    down: int
    words: str
    is_at_end: bool


@dataclass(frozen=True)
class StripLine:
    """One row of a strip: its label, the interval and the mean as paths, circles and dates."""

    label: str
    down: int
    interval: str
    mean: str
    is_dashed: bool
    dots: tuple[StripDot, ...]
    days: tuple[DayWords, ...]


@dataclass(frozen=True)
class Figure:
    """A figure on the ruler; ``along`` in percent."""

    along: str
    words: str


@dataclass(frozen=True)
class RulerMarks:
    """A ruler alone, at height 0: its line and ticks and, above it, the field, as paths."""

    line: str
    field: str
    figures: tuple[Figure, ...]


@dataclass(frozen=True)
class LineMarks:
    """One interval alone, at height 0, as paths; its name has room from ``along`` outwards."""

    interval: str
    mean: str
    along: str
    is_named_after: bool
    is_dashed: bool


@dataclass(frozen=True)
class Strip:
    """One panel: ``title`` with what it is ``under`` it, the field behind, the lines in front.

    ``spoken`` says all lines; ``field`` and ``ruler`` are paths, ``grid`` is the transform that
    stretches the field up behind the lines.
    """

    title: str
    under: str
    spoken: str
    height: int
    field: str
    grid: str
    ruler: str
    figures: tuple[Figure, ...]
    lines: tuple[StripLine, ...]


@dataclass(frozen=True)
class Strips:
    """A chart that no reader filters; words as in ``Chart``."""

    name: str
    title: str
    description: str
    caption: str
    strips: tuple[Strip, ...]
    finding: str = ""

    @property
    def heading(self) -> str:
        """As that of a ``Chart``."""
        return self.finding or self.title


@dataclass(frozen=True)
class PairCharts:
    """Two makers side by side: the pair to begin with, and what any other pair is drawn from.

    ``rows`` are those of the chart's data set ``rows``, by maker and by the position of the panel;
    a pair has the panels that both makers have. ``draw`` draws the chart.
    """

    makers: tuple[str, str]
    draw: Callable[[], Chart]
    rows: Mapping[str, Mapping[str, Json]]

    @cached_property
    def chart(self) -> Chart:
        """That of the pair to begin with."""
        return self.draw()


@dataclass(frozen=True)
class Charts:
    """All charts of a site; a series, machine or maker without results has none.

    ``standings`` goes by (protocol, series version), ``machines`` and ``makers`` by their slugs,
    ``drift`` by (protocol, series version, reference set-up, floor), ``values`` by (protocol,
    series version) and ("overall", 0), ``claims`` by the quantity claimed, ``factors`` by
    (protocol, series version); ``pairs`` is None where no two makers share a series.
    """

    standings: Mapping[tuple[str, int], Chart]
    overall: Chart | None
    machines: Mapping[str, Strips]
    makers: Mapping[str, Strips]
    drift: Mapping[tuple[str, int, str, str | None], Chart]
    values: Mapping[tuple[str, int], Chart] = field(default_factory=dict)
    claims: Mapping[str, Chart] = field(default_factory=dict)
    factors: Mapping[tuple[str, int], Strips] = field(default_factory=dict)
    pairs: PairCharts | None = None

    def __iter__(self) -> Iterator[Chart]:
        """Every chart that a page can redraw."""
        if self.overall:
            yield self.overall
        if self.pairs:
            yield self.pairs.chart
        for group in (self.standings, self.drift, self.values, self.claims):
            yield from group.values()
