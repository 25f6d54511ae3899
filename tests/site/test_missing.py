"""Which runs are missing, and what is said while a plan is open."""

from __future__ import annotations

from dataclasses import replace

from trialpress.site.pages.runs import missing_runs, open_plan
from trialpress.site.source import SiteSource
from trialpress.view import SeriesKey, View

SOUND = ("noise", 1)


def altered(view: View, **rows: object) -> View:
    """The view with other rows in some of its tables."""
    other = View(view.store)
    vars(other).update(rows)
    return other


def with_planned(view: View, series: SeriesKey, how_many: int) -> View:
    """The view with the first runs of a series still to be made."""
    keys = [run.run for run in view.runs if (run.protocol, run.series_version) == series]
    planned = set(keys[:how_many])
    assert len(planned) == how_many
    return altered(
        view,
        runs=tuple(
            replace(run, status="planned") if run.run in planned else run for run in view.runs
        ),
    )


def test_what_is_below_the_asked_number_and_what_was_never_run_are_told_apart(
    source: SiteSource,
) -> None:
    # one-stock has 1 of 2 runs of the sound; nobody has run along the wall ("edges") validly
    told = missing_runs(source.view, "one-stock")

    assert "Sound in use (1 of 2)" in told[0]
    assert told[0].startswith("Fewer runs than asked for: ")


def test_a_protocol_for_other_kinds_is_not_missing(source: SiteSource) -> None:
    for kinds, is_missing in ((None, True), ("stick", False), ("robot|stick", True)):
        protocols = tuple(
            replace(row, kinds=kinds) if row.protocol == "edges" else row
            for row in source.view.protocols
        )
        told = missing_runs(altered(source.view, protocols=protocols), "two-stock")

        assert any("Dust along a wall" in sentence for sentence in told) is is_missing


def test_a_series_without_planned_runs_says_nothing_of_a_plan(source: SiteSource) -> None:
    assert open_plan(source.view, SOUND) == ""


def test_an_open_plan_is_counted_and_its_standing_is_no_verdict(source: SiteSource) -> None:
    view = with_planned(source.view, SOUND, 2)

    one, two = open_plan(source.view, ("pickup", 2)), open_plan(view, SOUND)

    # the pickup of the small bench has one planned row
    assert one.replace("\N{NO-BREAK SPACE}", " ").startswith("1 planned run is still to be made: ")
    assert two.replace("\N{NO-BREAK SPACE}", " ") == (
        "2 planned runs are still to be made: a plan is read once, when all its runs are done, so "
        "this standing is not its verdict."
    )
