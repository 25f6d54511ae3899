"""A maker's machines together against everybody else's, one row a current series.

In:  ``maker_against_field``, with the sentences on it.
Out: ``FieldRow``s.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from trialpress.analyses.records import MakerFieldRow
from trialpress.site import urls, verdicts
from trialpress.site.frame import Link
from trialpress.site.material import Material
from trialpress.site.names import series_name
from trialpress.site.pages.shifts import shift_words
from trialpress.site.verdicts import Verdict
from trialpress.words import figures
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


def maker_field(material: Material, maker: str) -> Iterator[FieldRow]:
    """The rows of one maker, in the order of the analysis."""
    for row in material.analysed.fields.get(maker, ()):
        series = material.facts.series[(row.protocol, row.version)]
        if series.is_current:
            yield FieldRow(
                series=Link(series_name(series), urls.standing_url(series)),
                unit=difference_unit(row.unit),
                machines=NO_BREAK_SPACE.join((str(row.machines), "against", str(row.others))),
                verdict=verdicts.relation(row.relation),
                shift=shift_words(row),
                pairs=_pairs(row),
                warning=row.warning or "",
                sentence=material.sentences.makers[maker, (row.protocol, row.version)],
            )


def _pairs(row: MakerFieldRow) -> str:
    told = (
        (row.pairs_better, "better"),
        (row.pairs_worse, "worse"),
        (row.pairs_level, "level"),
        (row.pairs_cannot_tell, "not told apart"),
    )
    return figures.listing([f"{number} {words}" for number, words in told if number]) or "none"
