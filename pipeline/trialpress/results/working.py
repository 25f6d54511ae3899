"""Every series of the store worked out and written back as the public tables.

In:  ``run_values`` and the protocols' rules, from the store.
Out: tables ``run_results``, ``spreads``, ``cells``, ``standings``, ``comparisons``, ``overall``,
     ``overall_scopes``, ``overall_shares``, ``overall_parts``, ``drift``, ``drift_charts`` and
     ``agreements``, ``cell_means`` with unrounded figures, and ``overall_better``.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import chain, groupby

import numpy as np

from trialpress.results.cells import Cell
from trialpress.results.graders import write_agreements
from trialpress.results.overall import OverallBy
from trialpress.results.overall_parts import overall_parts
from trialpress.results.publishing import Published, RankedSetup, SeriesRules, publish
from trialpress.results.ranked import overall_ranked, ranked
from trialpress.results.ranking import Ranking, Rules
from trialpress.results.records import (
    CellMeanRow,
    CellRow,
    ComparisonRow,
    OverallBetterRow,
    OverallPartRow,
    OverallRow,
    OverallScopeRow,
    OverallShareRow,
    RunResultRow,
    SeriesSpreadRow,
    StandingRow,
)
from trialpress.results.rounding import half_even, published
from trialpress.results.watching import write_drift
from trialpress.store import Store, read_sql

PACKAGE = "trialpress.results"
SeriesKey = tuple[str, int]


@dataclass(frozen=True)
class RunValue:
    """One valid run, unrounded; None is an uncertainty that is not known."""

    protocol: str
    series_version: int
    setup: str
    run: str
    day: str
    value: float
    u_value: float | None
    u_shared: float | None
    tries: float | None


def write_results(store: Store, *, has_places_alone: bool, protocol: str | None) -> None:
    """Work out every series and write the result tables that need mathematics.

    Where only places are asked for, ``comparisons`` stays empty, chances stay blank, and what is
    told of single runs and of the reference is not worked out; where one protocol, its series alone
    are in the tables, and there is no overall.
    """
    names = {row.setup: row for row in store.records(RankedSetup, _query("setups"))}
    cells = _cells_by_series(store.records(RunValue, _query("valid_runs")))
    worked: list[tuple[SeriesRules, Ranking]] = []
    pages: dict[SeriesKey, Published] = {}
    for series in store.records(SeriesRules, _query("series")):
        key = (series.protocol, series.version)
        if key in cells and protocol in {None, series.protocol}:
            rules = _rules(store, series)
            ranking = ranked(cells[key], rules)
            worked.append((series, ranking))
            pages[key] = publish(ranking, series, names, has_chance=not has_places_alone)
    store.write_records("cell_means", CellMeanRow, list(_cell_means(worked)))
    _write_pages(store, pages.values(), has_pairs=not has_places_alone)
    if protocol is None:
        _write_overall(store, worked, names, has_chance=not has_places_alone)
    if has_places_alone:
        return
    decimals = {key: page.decimals for key, page in pages.items()}
    write_drift(store, decimals)
    write_agreements(store, protocol)
    _write_run_results(store, decimals)


def _write_overall(
    store: Store,
    worked: Sequence[tuple[SeriesRules, Ranking]],
    names: Mapping[str, RankedSetup],
    *,
    has_chance: bool,
) -> None:
    by = OverallBy(store.settings.overall)
    overall = overall_ranked(worked, _rules(store), names, by, has_chance=has_chance)
    store.write_records("overall", OverallRow, overall.rows)
    store.write_records("overall_scopes", OverallScopeRow, overall.scopes)
    store.write_records("overall_shares", OverallShareRow, overall.shares)
    store.write_records("overall_parts", OverallPartRow, overall_parts(worked))
    store.write_frames("overall_better", OverallBetterRow, overall.better)


def _cell_means(worked: Iterable[tuple[SeriesRules, Ranking]]) -> Iterator[CellMeanRow]:
    for series, ranking in worked:
        means = ranking.means
        columns = (means.mean, means.low, means.high, means.interval_se, means.df)
        figures = zip(*(column.tolist() for column in columns), strict=True)
        for cell, row in zip(ranking.cells, figures, strict=True):
            yield CellMeanRow(series.protocol, series.version, cell.setup, *row)


def ranking_of(
    store: Store,
    protocol: str,
    version: int,
    without: frozenset[str] = frozenset(),
    without_run: str | None = None,
) -> Ranking:
    """Work out one series again, unrounded; ``without`` are set-ups to leave out.

    Raises
    ------
    KeyError
        If the series has no valid run.
    """
    runs = store.records(RunValue, _query("valid_runs"))
    everyone = _cells_by_series(run for run in runs if run.run != without_run)[protocol, version]
    cells = [cell for cell in everyone if cell.setup not in without]
    (series,) = (
        row
        for row in store.records(SeriesRules, _query("series"))
        if (row.protocol, row.version) == (protocol, version)
    )
    return ranked(cells, _rules(store, series))


def _query(name: str) -> str:
    return read_sql(PACKAGE, f"queries/{name}.sql")


def _rules(store: Store, series: SeriesRules | None = None) -> Rules:
    """The rules of one series; without one, those of the overall standing."""
    return Rules(
        higher_is_better=series is None or series.higher_is_better,
        confidence=store.settings.confidence,
        top_n=store.settings.top_n,
        is_share=series is not None and series.is_share,
        lowest=None if series is None else series.lowest,
        highest=None if series is None else series.highest,
        single_runs_open=store.settings.single_runs == "open",
    )


def _cells_by_series(runs: Iterable[RunValue]) -> dict[SeriesKey, list[Cell]]:
    """Cells of each series; the query puts runs of one cell next to each other."""
    cells: dict[SeriesKey, list[Cell]] = {}
    runs = list(runs)
    day_numbers = {day: i for i, day in enumerate(sorted({run.day for run in runs}))}
    by_cell = groupby(runs, key=lambda run: (run.protocol, run.series_version, run.setup))
    for (protocol, version, setup), group in by_cell:
        cells.setdefault((protocol, version), []).append(_cell(setup, list(group), day_numbers))
    return cells


def _cell(setup: str, runs: list[RunValue], day_numbers: Mapping[str, int]) -> Cell:
    u_value = np.array([run.u_value for run in runs], dtype=np.float64)
    u_shared = np.array([run.u_shared for run in runs], dtype=np.float64)
    own = np.sqrt(np.maximum(u_value**2 - u_shared**2, 0.0))
    return Cell(
        setup=setup,
        values=np.array([run.value for run in runs]),
        u_value=own,
        u_shared=u_shared,
        days=np.array([day_numbers[run.day] for run in runs], dtype=np.int64),
        tries=np.array([run.tries for run in runs], dtype=np.float64),
    )


def _write_pages(store: Store, pages: Iterable[Published], *, has_pairs: bool) -> None:
    published_pages = list(pages)
    cells = chain.from_iterable(page.cells for page in published_pages)
    standings = chain.from_iterable(page.standings for page in published_pages)
    pairs = chain.from_iterable(page.pairs.frames() for page in published_pages if has_pairs)
    store.write_records("spreads", SeriesSpreadRow, [page.spread for page in published_pages])
    store.write_records("cells", CellRow, list(cells))
    store.write_records("standings", StandingRow, list(standings))
    store.write_frames("comparisons", ComparisonRow, pairs)


def _write_run_results(store: Store, decimals: Mapping[SeriesKey, int]) -> None:
    """One digit more than the series' means have, so that a reader can form them again."""
    rows = store.records(RunResultRow, _query("run_results"))
    of_series = [row for row in rows if (row.protocol, row.series_version) in decimals]
    store.write_records("run_results", RunResultRow, [_rounded(row, decimals) for row in of_series])


def _rounded(row: RunResultRow, decimals: Mapping[SeriesKey, int]) -> RunResultRow:
    digits = decimals[row.protocol, row.series_version] + 1
    u_value = None if row.u_value is None else published(row.u_value, digits)
    return replace(row, value=half_even(row.value, digits), u_value=u_value)
