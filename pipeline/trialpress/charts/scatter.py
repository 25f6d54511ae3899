"""Results held against prices and against stated figures, a dot a machine.

In:  ``value_front`` and ``claim_associations``, with names.
Out: charts by series, and by stated quantity.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from itertools import groupby
from textwrap import wrap

from trialpress.analyses.records import ValueRow
from trialpress.charts import scatter_wording as wording
from trialpress.charts.chart import Chart, Json
from trialpress.charts.fitting import fit
from trialpress.charts.form import read_form
from trialpress.charts.picture import ChartWords, charted
from trialpress.charts.stills import Drawing, scatter_still
from trialpress.charts.stills.scatter import ScatterMark
from trialpress.charts.theme import SMALL_TEXT_SIZE
from trialpress.view import Deferred, Names, SeriesKey, SeriesName, View
from trialpress.view.analysed import ClaimedValue
from trialpress.view.sentences.associations import stated_finding
from trialpress.words import figures, say

DOT = "possible"
MOST_NAMED = 8
NAME_WIDTH = 150
HEADING_LETTERS = 44
"""So many have room over the drawing on a phone."""


def draw_values(view: View) -> Mapping[SeriesKey, Chart]:
    """Results against prices, by series; the overall has version 0."""
    drawn = {
        key: [row for row in rows if row.front is not None and row.price is not None]
        for key, rows in view.analysed.values.items()
        if key not in view.series or view.series[key].is_current
    }
    return Deferred(
        {key: partial(_draw_value, view.names, key, rows) for key, rows in drawn.items() if rows}
    )


def draw_claims(view: View) -> Mapping[str, Chart]:
    """Results against stated figures, by quantity; a panel a series in percent."""
    by_unit = view.analysed.claimed_values
    shared = [quantity for quantity, _ in by_unit]
    return Deferred(
        {
            quantity if shared.count(quantity) == 1 else f"{quantity} in {unit}": partial(
                _draw_claim, view, group
            )
            for (quantity, unit), group in by_unit.items()
        }
    )


def _goes_with(view: View, rows: Sequence[ClaimedValue]) -> str:
    """With the results of how many of the series that are drawn a stated figure goes."""
    drawn = {(row.protocol, row.version) for row in rows}
    looks = view.analysed.claim_associations[rows[0].quantity]
    return stated_finding(
        [
            row
            for row in looks
            if row.unit == rows[0].stated_in and (row.protocol, row.version) in drawn
        ]
    )


def _draw_value(names: Names, key: SeriesKey, rows: Sequence[ValueRow]) -> Chart:
    series, unit, currency = names.series.get(key), rows[0].unit, rows[0].currency or ""
    unbeaten = [row for row in rows if row.front == "certain"]
    heading = wording.value_heading(len(rows), len(unbeaten))
    lines = "\n".join(wrap(heading, HEADING_LETTERS))
    ordered = sorted(rows, key=lambda row: (row.mean, row.setup))
    least, most = (find(row.price or 0.0 for row in rows) for find in (min, max))
    edge = math.sqrt(least * most)
    named = {row.setup for row in (*unbeaten[:MOST_NAMED], _best(rows, series))}
    marks = [
        _value_mark(row, names, lines, (_side(row, edge) if row.setup in named else ""))
        for row in ordered
    ]
    words = ChartWords(
        name=f"value-{key[0]}-v{key[1]}",
        title=wording.value_title(series.title if series else None),
        description=wording.value_description(
            len(rows),
            [names.setups[row.setup].full for row in unbeaten],
            sum(row.front == "possible" for row in rows),
        ),
        caption=say(wording.VALUE_CAPTION),
        finding=heading,
    )
    axes = wording.value_axes(unit, series.better if series else "higher", currency)
    return _charted(words, marks, axes, is_single=True, is_log=True)


def _best(rows: Sequence[ValueRow], series: SeriesName | None) -> ValueRow:
    """The one of the best mean, whatever it costs."""
    sign = -1 if series and series.better == "lower" else 1
    return max(rows, key=lambda row: (sign * row.mean, row.setup))


def _side(row: ValueRow, middle: float) -> str:
    return "right" if (row.price or 0.0) < middle else "left"


def _value_mark(row: ValueRow, names: Names, heading: str, named: str) -> ScatterMark:
    front, price, name = row.front or "", row.price or 0.0, names.setups[row.setup]
    return ScatterMark(
        heading=heading,
        heading_position=0,
        setup=row.setup,
        kind=front,
        against=price,
        value=row.mean,
        low=row.low,
        high=row.high,
        reading=wording.value_reading(
            name.full,
            figures.number(row.mean, row.decimals),
            row.unit,
            wording.price(price, row.currency or "", is_old=bool(row.is_price_old)),
            front,
        ),
        name=fit(name.machine_name, NAME_WIDTH, SMALL_TEXT_SIZE) if named else "",
        named=named,
    )


def _draw_claim(view: View, rows: Sequence[ClaimedValue]) -> Chart:
    first = rows[0]
    marks = list(_claim_marks(rows))
    panels = len({mark.heading_position for mark in marks})
    words = ChartWords(
        name=f"claims-{first.quantity}-{wording.slug(first.stated_in)}",
        title=wording.claims_title(first.quantity),
        description=wording.claims_description(first.quantity, panels),
        caption=wording.claims_caption(first.quantity, first.stated_in),
        finding=_goes_with(view, rows),
    )
    axes = wording.claims_axes(first.quantity, first.stated_in, first.unit)
    return _charted(words, marks, axes, is_single=panels == 1, is_log=False)


def _claim_marks(rows: Sequence[ClaimedValue]) -> Iterator[ScatterMark]:
    for position, (_, group) in enumerate(
        groupby(rows, key=lambda row: (row.protocol, row.version))
    ):
        for row in group:
            yield ScatterMark(
                heading=wording.claims_heading(
                    row.title, row.machines, row.rho, (row.rho_low, row.rho_high)
                ),
                heading_position=position,
                setup=None,
                kind=DOT,
                against=row.stated,
                value=row.measured,
                low=None,
                high=None,
                reading=wording.claim_reading(
                    f"{row.maker_name} {row.machine_name}",
                    row.stated,
                    row.stated_in,
                    f"{figures.number(row.measured, row.decimals)} {row.unit}",
                ),
            )


def _charted(
    words: ChartWords,
    marks: Sequence[ScatterMark],
    axes: Mapping[str, str],
    *,
    is_single: bool,
    is_log: bool,
) -> Chart:
    ticks = price_ticks([mark.against for mark in marks]) if is_log else []
    signals: dict[str, Json] = {"ticks": [*ticks]} if is_log else {}

    def layout(*, narrow: bool) -> tuple[dict[str, Json], Drawing]:
        form = read_form(scatter_name(is_single=is_single, narrow=narrow, is_log=is_log))
        size = {"is_single": is_single, "narrow": narrow}
        still = scatter_still(marks, axes, prices=ticks if is_log else None, **size)
        return form.filled({"rows": marks}, signals, axes), still

    return charted(words, layout(narrow=False), layout(narrow=True))


def scatter_name(*, is_single: bool, narrow: bool, is_log: bool) -> str:
    """What the form of one layout is called."""
    panels = "one" if is_single else "several"
    width, scale = "narrow" if narrow else "wide", "prices" if is_log else "figures"
    return f"scatter-{panels}-{width}-{scale}"


def price_ticks(prices: Sequence[float]) -> list[float]:
    """Round prices, in steps of 1, 2 and 5, that lie within those given."""
    steps = (step * 10.0**power for power in range(-2, 9) for step in (1, 2, 5))
    return [round(step, 2) for step in steps if min(prices) <= step <= max(prices)]
