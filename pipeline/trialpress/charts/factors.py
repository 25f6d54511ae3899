"""What goes with good results: a panel a factor, a row for each of its groups, a dot a machine.

In:  ``machine_values`` with ``associations``, and names.
Out: charts by series. A mark's ``setup`` is its machine, so that one machine can be followed
     through all panels.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial
from itertools import groupby
from statistics import median

from trialpress.analyses.records import AssociationRow
from trialpress.charts import factors_wording as wording
from trialpress.charts.chart import Strips
from trialpress.charts.panels import PanelMark, PanelRow
from trialpress.charts.picture import ChartWords
from trialpress.charts.strips import draw_strips
from trialpress.charts.wording import machine_name
from trialpress.results.rounding import half_even
from trialpress.view import Deferred, View
from trialpress.view.analysed import FactorValue
from trialpress.view.sentences.associations import factors_finding
from trialpress.view.terms import group_name
from trialpress.words import figures


def draw_factors(view: View) -> Mapping[tuple[str, int], Strips]:
    """Every current series with machines in it."""
    looks = view.analysed.associations
    return Deferred(
        {
            key: partial(_draw, rows, looks[key])
            for key, rows in view.analysed.machine_factors.items()
        }
    )


def _draw(rows: Sequence[FactorValue], looks: Sequence[AssociationRow]) -> Strips:
    first = rows[0]
    marks = list(_marks(rows))
    words = ChartWords(
        name=f"goes-with-{first.protocol}-v{first.version}",
        title=wording.factors_title(first.title),
        description=wording.factors_description(
            len({row.machine for row in rows}), len({row.factor for row in rows})
        ),
        caption=wording.factors_caption(first.unit, first.better),
        finding=factors_finding(looks),
    )
    return draw_strips(words, marks)


def _marks(rows: Sequence[FactorValue]) -> Iterator[PanelRow]:
    for position, (_, factor) in enumerate(groupby(rows, key=lambda row: row.factor)):
        for turn, (_, group) in enumerate(groupby(factor, key=lambda row: row.level)):
            yield from _group(list(group), position, turn)


def _group(machines: Sequence[FactorValue], position: int, turn: int) -> Iterator[PanelRow]:
    """The label of one group, its median where it has two machines, and every machine."""
    first = machines[0]
    group = group_name(first.factor, first.level)
    label = PanelRow(
        heading=wording.factor_heading(
            first.factor,
            first.machines,
            (first.effect_name, first.effect, first.effect_low, first.effect_high),
        ),
        heading_position=position,
        kind=PanelMark.LABEL,
        row=first.level,
        row_position=turn,
        setup=None,
        label=wording.group_label(group, len(machines)),
    )
    yield label
    bare = replace(label, label=None)
    if len(machines) > 1:
        middle = median(row.value for row in machines)
        yield replace(bare, kind=PanelMark.MEAN, value=half_even(middle, first.decimals))
    for row in machines:
        name = machine_name(row.maker_name, row.machine_name)
        value = figures.with_unit(figures.number(row.value, row.decimals), row.unit)
        yield replace(
            bare,
            kind=PanelMark.RUN,
            setup=row.machine,
            value=row.value,
            reading=wording.machine_reading(name, value, group),
        )
