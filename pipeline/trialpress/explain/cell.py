"""One set-up in one series: its runs, its interval and how its place came about.

In:  the store.
Out: ``CellExplanation``, whose steps can be followed with a pocket calculator.
"""

from __future__ import annotations

from dataclasses import dataclass

from trialpress.errors import UsageError
from trialpress.explain.steps import Step, steps_of
from trialpress.intake.nearest import meant
from trialpress.results.ranking import Ranking
from trialpress.results.working import ranking_of
from trialpress.store import Store, read_sql

PACKAGE = "trialpress.explain"


class NoSuchCellError(UsageError):
    """The set-up has no valid run under the protocol."""

    def __init__(self, store: Store, setup: str, protocol: str) -> None:
        runs = store.frame("select distinct setup, protocol from runs")
        setups, protocols = frozenset(runs["setup"]), frozenset(runs["protocol"])
        meant_ones = "" if setup in setups else meant(setup, setups)
        meant_ones += "" if protocol in protocols else meant(protocol, protocols)
        super().__init__(
            f"{setup} has no valid run under {protocol} to be seen as of {store.as_of}. "
            f"{meant_ones or 'Check both names. '}"
            "What is later or under embargo is seen with --as-of DATE."
        )


@dataclass(frozen=True)
class RunLine:
    """A run of the cell."""

    run: str
    day: str
    value: float
    u_value: float | None
    flags: str


@dataclass(frozen=True)
class Opponent:
    """Another set-up that can be told apart from this one."""

    setup: str
    difference: float
    low: float
    high: float
    relation: str


@dataclass(frozen=True)
class CellExplanation:
    """A cell worked out and its place, with everyone it can be told apart from."""

    setup: str
    protocol: str
    version: int
    unit: str
    runs: tuple[RunLine, ...]
    steps: tuple[Step, ...]
    mean: float
    low: float | None
    high: float | None
    confidence: float
    place: int
    place_best: int
    place_worst: int
    set_ups: int
    told_apart: tuple[Opponent, ...]
    why: str | None


@dataclass(frozen=True)
class _Standing:
    setup: str
    protocol: str
    mean: float
    low: float | None
    high: float | None
    place: int
    place_best: int
    place_worst: int
    unit: str
    version: int


def explain_cell(
    store: Store, setup: str, protocol: str, version: int | None = None
) -> CellExplanation:
    """Explain the standing of one set-up.

    Parameters
    ----------
    store : Store
        With every result table.
    setup, protocol : str
        Slugs.
    version : int, optional
        A version of the series; the newest series where not given.

    Raises
    ------
    NoSuchCellError
        If the set-up has no valid run there.
    """
    sql = read_sql(PACKAGE, "queries/standing.sql")
    standings = store.records(_Standing, sql, [setup, protocol, version])
    if not standings:
        raise NoSuchCellError(store, setup, protocol)
    standing = standings[0]
    return _explained(store, standing, ranking_of(store, protocol, standing.version))


def explain_cells(store: Store) -> tuple[CellExplanation, ...]:
    """Explain every standing of every series; each series is worked out once."""
    sql = read_sql(PACKAGE, "queries/standings.sql")
    standings = store.records(_Standing, sql)
    keys = sorted({(row.protocol, row.version) for row in standings})
    rankings = {key: ranking_of(store, *key) for key in keys}
    return tuple(_explained(store, row, rankings[row.protocol, row.version]) for row in standings)


def _explained(store: Store, standing: _Standing, ranking: Ranking) -> CellExplanation:
    key = [standing.setup, standing.protocol, standing.version]
    index = [cell.setup for cell in ranking.cells].index(standing.setup)
    return CellExplanation(
        setup=standing.setup,
        protocol=standing.protocol,
        version=standing.version,
        unit=standing.unit,
        runs=tuple(store.records(RunLine, read_sql(PACKAGE, "queries/runs_of_cell.sql"), key)),
        steps=steps_of(ranking, index, store.settings.confidence),
        mean=standing.mean,
        low=standing.low,
        high=standing.high,
        confidence=store.settings.confidence,
        place=standing.place,
        place_best=standing.place_best,
        place_worst=standing.place_worst,
        set_ups=len(ranking.cells),
        told_apart=tuple(store.records(Opponent, read_sql(PACKAGE, "queries/told_apart.sql"), key)),
        why=ranking.why,
    )
