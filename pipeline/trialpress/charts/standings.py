"""The ladder of one series, and of the overall value.

In:  material.
Out: one chart a series; one over all series, or none where nothing has an overall place.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from trialpress.charts import wording
from trialpress.charts.chart import Chart
from trialpress.charts.ladder import Ladder, LadderRow, draw_ladder
from trialpress.charts.material import Material, OverallValue, Series, Standing
from trialpress.charts.picture import Words, draw_chart
from trialpress.charts.reading import ladder_reading
from trialpress.words import figures, say

OVERALL_UNIT = "%"


def draw_standings(material: Material, series: Series) -> Chart:
    """The standings of one series as a ladder."""
    standings = material.standings_in(series)
    words = Words(
        name=f"standings-{series.protocol}-v{series.version}",
        title=wording.standings_title(series.title, None if series.is_current else series.version),
        description=_description(standings, series.unit, material.top_n),
        caption=wording.ladder_caption(material.confidence, material.top_n),
    )
    heading = wording.value_heading(series.unit, series.better, material.confidence)
    return _draw(words, Ladder(heading, material.top_n, _rows(standings, series.unit)))


def draw_overall(material: Material) -> Chart | None:
    """The overall values as a ladder; None where no set-up has a place."""
    if not material.overall:
        return None
    words = Words(
        name="overall",
        title=say(wording.OVERALL_TITLE),
        description=_description(material.overall, OVERALL_UNIT, material.top_n),
        caption=wording.overall_caption(material.confidence, material.top_n),
    )
    heading = wording.overall_heading(material.confidence)
    return _draw(words, Ladder(heading, material.top_n, _rows(material.overall, OVERALL_UNIT)))


def _draw(words: Words, ladder: Ladder) -> Chart:
    return draw_chart(
        words, wide=draw_ladder(ladder, narrow=False), narrow=draw_ladder(ladder, narrow=True)
    )


def _description(
    standings: Sequence[Standing] | Sequence[OverallValue], unit: str, top_n: int
) -> str:
    first, tops = standings[0], Counter(standing.top for standing in standings)
    return wording.ladder_description(
        _name(first),
        figures.with_unit(figures.number(first.mean, first.decimals), unit),
        (len(standings), tops["certain"], tops["possible"]),
        top_n,
    )


def _rows(standings: Sequence[Standing] | Sequence[OverallValue], unit: str) -> list[LadderRow]:
    return [_row(standing, unit) for standing in standings]


def _row(standing: Standing | OverallValue, unit: str) -> LadderRow:
    return LadderRow(
        setup=standing.setup,
        position=standing.position,
        name=_name(standing),
        mean=standing.mean,
        low=standing.low,
        high=standing.high,
        place_best=standing.place_best,
        place_worst=standing.place_worst,
        places=figures.places(standing.place_best, standing.place_worst),
        is_open=standing.provisional,
        is_dashed=standing.on_one_run,
        reading=ladder_reading(_name(standing), standing, unit),
    )


def _name(standing: Standing | OverallValue) -> str:
    return wording.set_up_name(standing.maker_name, standing.machine_name, standing.label)
