"""The set-ups of one machine against each other: what other brushes, modes or patterns changed.

In:  the differences of every pair of set-ups of a machine, and the sentence on each pair.
Out: one ``SetupPair`` a pair, with one line a series.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from trialpress.analyses.records import SetupDeltaRow
from trialpress.site import urls
from trialpress.site.frame import Link
from trialpress.site.source import SiteSource
from trialpress.view import View, typed, verdicts
from trialpress.view.comparisons import could_matter
from trialpress.view.sentences.setups import differing_parts
from trialpress.view.terms import why_words
from trialpress.view.verdicts import Verdict
from trialpress.words import figures
from trialpress.words.figures import difference_unit


@dataclass(frozen=True)
class PairLine:
    """How two set-ups differ in one series."""

    series: Link
    difference: str
    unit: str
    interval: str
    runs: str
    verdict: Verdict
    why: str | None


@dataclass(frozen=True)
class SetupPair:
    """Two set-ups of one machine; a difference is that of the first less the other."""

    setup: str
    other: str
    differs: str
    lines: tuple[PairLine, ...]
    sentence: str


def setup_pairs(source: SiteSource, machine: str) -> tuple[SetupPair, ...]:
    """Every pair of set-ups of one machine that were run under one protocol."""
    return tuple(
        _pair(source.view, rows, sentence)
        for key, sentence in source.sentences.setup_pairs.items()
        if (rows := source.view.analysed.deltas[key])[0].machine == machine
    )


def _pair(view: View, rows: Sequence[SetupDeltaRow], sentence: str) -> SetupPair:
    first = rows[0]
    lines = [_line(view, row) for row in rows]
    return SetupPair(
        setup=view.setup[first.setup].label,
        other=view.setup[first.other].label,
        differs=figures.listing(differing_parts(first)),
        lines=tuple(sorted(lines, key=lambda line: line.series.words)),
        sentence=sentence,
    )


def _line(view: View, row: SetupDeltaRow) -> PairLine:
    series = view.series[(row.protocol, row.version)]
    return PairLine(
        series=Link(series.name.full, urls.standing_url(series)),
        difference="" if row.difference is None else figures.signed(row.difference, row.decimals),
        unit=difference_unit(row.unit),
        interval=(
            ""
            if row.low is None or row.high is None
            else figures.interval(row.low, row.high, row.decimals)
        ),
        runs=figures.listing([str(row.n or 0), str(row.other_n or 0)]),
        verdict=verdicts.relation(
            row.relation,
            is_by_less_than_matters=row.by_less_than_matters,
            could_matter=_could_matter(row, series),
        ),
        why=why_words(row.why) if row.why else None,
    )


def _could_matter(row: SetupDeltaRow, series: typed.Protocol) -> str:
    """On which side a difference that matters is left open, where the two cannot be told apart."""
    if row.relation != "cannot tell" or row.low is None or row.high is None:
        return ""
    low, high = np.array(row.low), np.array(row.high)
    return str(could_matter(low, high, series.matters, series.better))
