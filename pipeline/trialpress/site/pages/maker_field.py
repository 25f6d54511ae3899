"""A maker's machines together against others of the same kinds, one row a current series.

In:  ``maker_against_field``, with the sentences on it.
Out: ``FieldRow``s.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from trialpress.analyses.records import MakerFieldRow
from trialpress.site import urls
from trialpress.site.frame import Link
from trialpress.site.source import SiteSource
from trialpress.site.wording import shift_words
from trialpress.view import verdicts
from trialpress.view.sentences.groups import field_finding, warning_of
from trialpress.view.verdicts import Verdict
from trialpress.words import figures, say, say_as, say_count
from trialpress.words.figures import NO_BREAK_SPACE, difference_unit


@dataclass(frozen=True)
class FieldRow:
    """One series. ``pairs`` counts set-ups against those of others, by what is told of them."""

    series: Link
    unit: str
    machines: str
    verdict: Verdict
    shift: str
    pairs: str
    warning: str
    sentence: str


def maker_field(source: SiteSource, maker: str) -> Iterator[FieldRow]:
    """The rows of one maker, in the order of the analysis."""
    for row in _current(source, maker):
        series = source.view.series[(row.protocol, row.version)]
        yield FieldRow(
            series=Link(series.name.full, urls.standing_url(series)),
            unit=difference_unit(row.unit),
            machines=_machines(row),
            verdict=verdicts.relation(row.relation),
            shift=shift_words(row),
            pairs=_pairs(row),
            warning=warning_of(row, {}),
            sentence=source.sentences.makers[maker, (row.protocol, row.version)],
        )


def maker_field_finding(source: SiteSource, maker: str) -> str:
    """What these rows come to, as a heading; there must be one."""
    return field_finding(list(_current(source, maker)))


def _current(source: SiteSource, maker: str) -> Iterator[MakerFieldRow]:
    for row in source.view.analysed.fields.get(maker, ()):
        if source.view.series[(row.protocol, row.version)].is_current:
            yield row


def _machines(row: MakerFieldRow) -> str:
    # For translators: how many machines of a maker stand against how many of others.
    counts = say("{own} against {others}", own=row.machines, others=row.others)
    return counts.replace(" ", NO_BREAK_SPACE)


def _pairs(row: MakerFieldRow) -> str:
    better, worse = row.pairs_better, row.pairs_worse
    level, untold = row.pairs_level, row.pairs_cannot_tell
    parts = (
        # For translators: pairs of set-ups, of which the maker's own is better.
        (better, say_count("{count} better", "{count} better", better)),
        # For translators: pairs of set-ups, of which the maker's own is worse.
        (worse, say_count("{count} worse", "{count} worse", worse)),
        # For translators: pairs of set-ups that are level.
        (level, say_count("{count} level", "{count} level", level)),
        # For translators: pairs of set-ups that cannot be told apart.
        (untold, say_count("{count} not told apart", "{count} not told apart", untold)),
    )
    listed = figures.listing([words for how_many, words in parts if how_many])
    return listed or say_as("pairs of set-ups", "none")
