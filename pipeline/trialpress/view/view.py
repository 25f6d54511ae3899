"""Everything that is published, read from the store where it is first asked for.

In:  the store, through ``queries/*.sql``.
Out: ``View``: the records of every query, and look-ups by their keys.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from trialpress.bench import Settings
from trialpress.store import Store, grouped, read_sql
from trialpress.view import plans, results, typed
from trialpress.view.analysed import Analysed
from trialpress.view.comparisons import Comparisons, read_comparisons
from trialpress.view.names import Names, SeriesKey, SetupName
from trialpress.words import say

Item = TypeVar("Item")


@dataclass(frozen=True)
class View:
    """The records of every query, in the order of the queries; each is read once, when asked for.

    A look-up that ends in ``_of`` gives all rows of a key, one in the singular the row itself.
    """

    store: Store

    @property
    def settings(self) -> Settings:
        """What ``bench.toml`` says."""
        return self.store.settings

    @property
    def methods(self) -> Mapping[str, str]:
        """The method text of each protocol that has one."""
        return self.store.methods

    @cached_property
    def makers(self) -> Sequence[typed.Maker]:
        """Makers, by name."""
        return self._read(typed.Maker, "makers")

    @cached_property
    def maker(self) -> Mapping[str, typed.Maker]:
        """Makers by their slug."""
        return {row.maker: row for row in self.makers}

    @cached_property
    def machines(self) -> Sequence[typed.Machine]:
        """Machines, by the names of their makers and their own."""
        return self._read(typed.Machine, "machines")

    @cached_property
    def machine(self) -> Mapping[str, typed.Machine]:
        """Machines by their slug."""
        return {row.machine: row for row in self.machines}

    @cached_property
    def machines_of(self) -> Mapping[str, Sequence[typed.Machine]]:
        """Machines of each maker."""
        return grouped(self.machines, lambda row: row.maker)

    @cached_property
    def setups(self) -> Sequence[typed.Setup]:
        """Set-ups, by machine; the one as unboxed first."""
        return self._read(typed.Setup, "setups")

    @cached_property
    def setup(self) -> Mapping[str, typed.Setup]:
        """Set-ups by their slug."""
        return {row.setup: row for row in self.setups}

    @cached_property
    def setups_of(self) -> Mapping[str, Sequence[typed.Setup]]:
        """Set-ups of each machine."""
        return grouped(self.setups, lambda row: row.machine)

    @cached_property
    def floors(self) -> Sequence[typed.Floor]:
        """Floors, by name."""
        return self._read(typed.Floor, "floors")

    @cached_property
    def floor(self) -> Mapping[str, typed.Floor]:
        """Floors by their slug."""
        return {row.floor: row for row in self.floors}

    @cached_property
    def instruments(self) -> Sequence[typed.Instrument]:
        """Instruments, by slug."""
        return self._read(typed.Instrument, "instruments")

    @cached_property
    def protocols(self) -> Sequence[typed.Protocol]:
        """Protocol versions, by title, newest first."""
        return self._read(typed.Protocol, "protocols")

    @cached_property
    def series(self) -> Mapping[SeriesKey, typed.Protocol]:
        """The newest protocol version of each series, in the order of the protocols' titles."""
        return {row.key: row for row in self.protocols if row.version == row.series_version}

    @cached_property
    def current_series(self) -> Sequence[typed.Protocol]:
        """The newest series of each protocol."""
        return tuple(row for row in self.series.values() if row.is_current)

    @cached_property
    def ranked_series(self) -> Sequence[typed.Protocol]:
        """Every series with a standing."""
        return tuple(row for key, row in self.series.items() if key in self.standings_of)

    @cached_property
    def runs(self) -> Sequence[typed.Run]:
        """Runs of any status, oldest first."""
        return self._read(typed.Run, "runs")

    @cached_property
    def run(self) -> Mapping[str, typed.Run]:
        """Runs by their id."""
        return {row.run: row for row in self.runs}

    @cached_property
    def runs_of(self) -> Mapping[tuple[SeriesKey, str], Sequence[typed.Run]]:
        """Runs of each series and set-up, oldest first."""
        return grouped(self.runs, lambda row: ((row.protocol, row.series_version), row.setup))

    @cached_property
    def valid_runs(self) -> Mapping[str, int]:
        """How many valid runs each set-up has, 0 where it has none."""
        return Counter(run.setup for run in self.runs if run.status == "valid")

    @cached_property
    def run_result(self) -> Mapping[str, results.RunResult]:
        """What each valid run gave, by its id."""
        return {row.run: row for row in self._read(results.RunResult, "run_results")}

    @cached_property
    def run_value(self) -> Mapping[str, float]:
        """The same before rounding, where runs were measured and nothing is worked out yet."""
        rows = self.store.connection.execute("select run, value from run_values order by run")
        return dict(rows.fetchall())

    @cached_property
    def readings_of(self) -> Mapping[str, Sequence[typed.Reading]]:
        """Readings of each run, as typed."""
        return grouped(self._read(typed.Reading, "readings"), lambda row: row.run)

    @cached_property
    def claims(self) -> Sequence[typed.Claim]:
        """Claims, by quantity."""
        return self._read(typed.Claim, "claims")

    @cached_property
    def corrections(self) -> Sequence[typed.Correction]:
        """Corrected values, newest first."""
        return self._read(typed.Correction, "corrections")

    @cached_property
    def photos(self) -> Sequence[typed.Photo]:
        """Photos, by day and run."""
        return self._read(typed.Photo, "photos")

    @cached_property
    def films(self) -> Sequence[typed.Film]:
        """Films, newest first."""
        return self._read(typed.Film, "films")

    @cached_property
    def marks_of(self) -> Mapping[str, Sequence[typed.FilmMark]]:
        """What each film shows, in its order; none of a film without marks."""
        return grouped(self._read(typed.FilmMark, "film_marks"), lambda row: row.film)

    @cached_property
    def marks_showing(self) -> Mapping[tuple[str, str], Sequence[typed.FilmMark]]:
        """Marks of films by what they show, those of the newest film first."""
        marks = (mark for film in self.films for mark in self.marks_of.get(film.film, ()))
        return grouped((mark for mark in marks if mark.shows), lambda mark: mark.shows or ("", ""))

    @cached_property
    def film(self) -> Mapping[str, typed.Film]:
        """Films by their slug."""
        return {row.film: row for row in self.films}

    @cached_property
    def warnings(self) -> Sequence[typed.Warned]:
        """Warnings on published rows, in file order."""
        return self._read(typed.Warned, "warnings")

    @cached_property
    def standings(self) -> Sequence[results.Standing]:
        """Standings, series after series, in the order results decided."""
        return self._read(results.Standing, "standings")

    @cached_property
    def standings_of(self) -> Mapping[SeriesKey, Sequence[results.Standing]]:
        """The standing of each series, in its order."""
        return grouped(self.standings, lambda row: row.key)

    @cached_property
    def standings_of_machine(self) -> Mapping[str, Sequence[results.Standing]]:
        """The standings of each machine's set-ups, series after series."""
        return grouped(self.standings, lambda row: row.machine)

    @cached_property
    def spreads(self) -> Sequence[results.SeriesSpread]:
        """What the intervals of each series rest on."""
        return self._read(results.SeriesSpread, "spreads")

    @cached_property
    def agreements(self) -> Mapping[SeriesKey, Sequence[results.GraderPair]]:
        """Pairs of graders of each series."""
        rows = self._read(results.GraderPair, "agreements")
        return grouped(rows, lambda row: (row.protocol, row.version))

    @cached_property
    def not_ranked(self) -> Sequence[results.NotRanked]:
        """Set-ups with rows in a series but no valid run."""
        return self._read(results.NotRanked, "not_ranked")

    @cached_property
    def overall(self) -> Sequence[results.Overall]:
        """Set-ups with an overall place, in its order."""
        return self._read(results.Overall, "overall")

    @cached_property
    def overall_scopes(self) -> Sequence[results.OverallScope]:
        """What the overall of each scope rests on."""
        return self._read(results.OverallScope, "overall_scopes")

    @cached_property
    def overall_parts(self) -> Sequence[results.OverallPart]:
        """Means that an overall can take in."""
        return self._read(results.OverallPart, "overall_parts")

    @cached_property
    def overall_better(self) -> NDArray[np.bool_]:
        """Whether row i of the overall is told better than row j."""
        at = {row.setup: i for i, row in enumerate(self.overall)}
        is_better = np.zeros((len(at), len(at)), dtype=np.bool_)
        pairs = self.store.columns("select setup, other from overall_better")
        rows, columns = ([at[name] for name in pairs[side]] for side in ("setup", "other"))
        is_better[rows, columns] = True
        return is_better

    @property
    def is_overall_in_steps(self) -> bool:
        """Whether the bench ranks by steps that matter; otherwise by ratio."""
        return self.settings.overall == "steps"

    @property
    def overall_unit(self) -> str:
        """What overall values are in."""
        # For translators: a unit, as in "1.4 steps": smallest differences that matter.
        return say("steps") if self.is_overall_in_steps else "%"

    @cached_property
    def overall_shares(self) -> Sequence[results.OverallShare]:
        """How much each series decides of the overall that ranks."""
        return self._read(results.OverallShare, "overall_shares")

    @cached_property
    def incomplete(self) -> Sequence[results.Incomplete]:
        """Set-ups without an overall place."""
        return self._read(results.Incomplete, "incomplete")

    @cached_property
    def complete_setups(self) -> frozenset[str]:
        """Set-ups that were run in every series of the overall."""
        return frozenset(row.setup for row in self.overall)

    @cached_property
    def maker_overview(self) -> Sequence[results.MakerOverview]:
        """Each maker in each series."""
        return self._read(results.MakerOverview, "maker_overview")

    @cached_property
    def drift(self) -> Sequence[results.DriftRun]:
        """Runs of reference set-ups, control chart after control chart."""
        return self._read(results.DriftRun, "drift")

    @cached_property
    def drift_chart(self) -> Mapping[tuple[str, int, str, str | None], results.DriftChart]:
        """What each control chart can see, by its key."""
        return {row.key: row for row in self._read(results.DriftChart, "drift_charts")}

    @cached_property
    def movements(self) -> Sequence[results.Movement]:
        """Set-ups that moved or are new, by the date since when."""
        return self._read(results.Movement, "movements")

    @cached_property
    def tallies(self) -> Sequence[plans.Tally]:
        """How often each set-up was run in each series that is still run."""
        return self._read(plans.Tally, "tallies")

    @cached_property
    def paces(self) -> Mapping[str, plans.Pace]:
        """The pace of every protocol whose runs were timed."""
        return {row.protocol: row for row in self._read(plans.Pace, "paces")}

    @cached_property
    def analysed(self) -> Analysed:
        """The rows of the analyses."""
        return Analysed(self.store)

    @cached_property
    def names(self) -> Names:
        """What makers, machines, set-ups and series are called."""
        makers = {row.maker: row.name for row in self.makers}
        machines = {row.machine: row for row in self.machines}
        return Names(
            setups={
                row.setup: SetupName(
                    setup=row.setup,
                    label=row.label,
                    machine=row.machine,
                    machine_name=machines[row.machine].name,
                    maker=machines[row.machine].maker,
                    maker_name=makers[machines[row.machine].maker],
                )
                for row in self.setups
            },
            machines={row.machine: f"{makers[row.maker]} {row.name}" for row in self.machines},
            makers=makers,
            series={key: row.name for key, row in self.series.items()},
            confidence=self.settings.confidence,
        )

    def comparisons(self, series: SeriesKey) -> Comparisons:
        """How the set-ups of one series stand towards each other, as columns; read once."""
        if series not in self._comparisons:
            self._comparisons[series] = read_comparisons(self.store, series)
        return self._comparisons[series]

    @cached_property
    def _comparisons(self) -> dict[SeriesKey, Comparisons]:
        return {}

    def _read(self, kind: type[Item], name: str) -> Sequence[Item]:
        return tuple(self.store.records(kind, read_sql("trialpress.view", f"queries/{name}.sql")))
