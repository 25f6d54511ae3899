"""The ladder of one series, and of the overall value.

In:  the view.
Out: one chart a series; one over all series, or none where nothing has an overall place.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from trialpress.charts import wording
from trialpress.charts.chart import Chart
from trialpress.charts.ladder import Ladder, LadderRow, draw_ladder
from trialpress.charts.picture import ChartWords, charted
from trialpress.charts.reading import ladder_reading
from trialpress.charts.stills import ladder_still
from trialpress.view import View
from trialpress.view.results import Overall, Standing
from trialpress.view.typed import Protocol
from trialpress.words import figures, say

STILL_ROWS = 100
"""So many rows at most are in the picture that a page is opened with."""


def draw_standings(view: View, series: Protocol) -> Chart:
    """The standings of one series as a ladder."""
    standings, settings = view.standings_of[series.key], view.settings
    words = ChartWords(
        name=f"standings-{series.protocol}-v{series.version}",
        title=wording.standings_title(series.name.full),
        description=_description(view, standings, series.unit),
        caption=wording.ladder_caption(settings.confidence, settings.top_n),
        finding=_finding(standings, settings.top_n),
    )
    heading = wording.value_heading(series.unit, series.better, settings.confidence)
    return _draw(words, Ladder(heading, settings.top_n, _rows(view, standings, series.unit)))


def draw_overall(view: View) -> Chart | None:
    """The overall values as a ladder; None where no set-up has a place."""
    if not view.overall:
        return None
    settings = view.settings
    words = ChartWords(
        name="overall",
        title=say(wording.OVERALL_TITLE),
        description=_description(view, view.overall, view.overall_unit),
        caption=wording.overall_caption(settings.confidence, settings.top_n),
        finding=_finding(view.overall, settings.top_n),
    )
    heading = wording.overall_heading(settings.confidence, view.overall_unit)
    return _draw(
        words, Ladder(heading, settings.top_n, _rows(view, view.overall, view.overall_unit))
    )


def _draw(words: ChartWords, ladder: Ladder) -> Chart:
    if len(ladder.rows) > STILL_ROWS:
        caption = f"{words.caption} {wording.still_caption(STILL_ROWS)}"
        words = replace(words, caption=caption)
    wide, narrow = (
        (
            draw_ladder(ladder, narrow=is_narrow),
            ladder_still(ladder, narrow=is_narrow, most=STILL_ROWS),
        )
        for is_narrow in (False, True)
    )
    return charted(words, wide, narrow)


def _description(view: View, standings: Sequence[Standing | Overall], unit: str) -> str:
    first, tops = standings[0], Counter(standing.top for standing in standings)
    return wording.ladder_description(
        view.names.setups[first.setup].full,
        figures.with_unit(figures.number(first.mean, first.decimals), unit),
        (len(standings), tops["certain"], tops["possible"]),
        view.settings.top_n,
    )


def _finding(standings: Sequence[Standing | Overall], top_n: int) -> str:
    could = sum(standing.top != "out" for standing in standings)
    return wording.ladder_finding(could, len(standings), top_n)


def _rows(view: View, standings: Sequence[Standing | Overall], unit: str) -> list[LadderRow]:
    return [_row(view.names.setups[row.setup].full, row, unit) for row in standings]


def _row(name: str, standing: Standing | Overall, unit: str) -> LadderRow:
    return LadderRow(
        setup=standing.setup,
        position=standing.position,
        name=name,
        mean=standing.mean,
        low=standing.low,
        high=standing.high,
        place_best=standing.place_best,
        place_worst=standing.place_worst,
        places=figures.places(standing.place_best, standing.place_worst),
        is_open=standing.provisional,
        is_dashed=standing.on_one_run,
        reading=ladder_reading(name, standing, unit),
    )
