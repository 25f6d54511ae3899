"""Pages put together from the small bench: what they say, and what they do not."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from trialpress.site.methods import cautions_for
from trialpress.site.pages.about import about_page
from trialpress.site.pages.corrections import corrections_page
from trialpress.site.pages.data import data_page
from trialpress.site.pages.dictionary import dictionary_page
from trialpress.site.pages.filters import filter_choices, filter_keys
from trialpress.site.pages.good_practice import good_practice_page
from trialpress.site.pages.home import home_page
from trialpress.site.pages.machine import MachinePage, machine_page
from trialpress.site.pages.makers import maker_page
from trialpress.site.pages.methods import method_page, versions_of
from trialpress.site.pages.overall import overall_page
from trialpress.site.pages.standing import StandingPage, standing_page
from trialpress.site.source import SiteSource
from trialpress.site.templates import Templates, render
from trialpress.site.wording import shift_words

NBSP = "\N{NO-BREAK SPACE}"


@pytest.fixture
def carpet(source: SiteSource) -> StandingPage:
    return standing_page(source, source.view.series["pickup", 2])


@pytest.fixture
def stick(source: SiteSource) -> MachinePage:
    return machine_page(source, source.view.machine["stick-one"])


def test_a_standing_tells_place_possible_places_value_and_runs(carpet: StandingPage) -> None:
    # the runs of the small bench by hand, in % of the dose; corrected rows as corrected:
    # one-stock (278.4 - 260.1)/20.1 = 91.04, (278.1 - 260.3)/19.9 = 89.45, (278.8 - 260.2)/20.0
    # = 93.00: mean 91.16; two-stock 17.1/20.0 = 85.5, (327.2 - 310.0)/20.0 = 86.0: mean 85.75
    first, second = (row.line for row in carpet.rows)

    assert (first.place, first.name.setup, first.runs_key) == ("1", "one-stock", 3)
    assert float(first.value) == pytest.approx(91.16, abs=0.5)  # published without decimals
    assert (second.place, second.name.setup, second.runs_key) == ("2", "two-stock", 2)
    assert float(second.value) == pytest.approx(85.75, abs=0.5)
    assert second.marks == ("provisional",)  # two runs, three asked for
    assert first.marks == ()
    assert first.flags == (f"corrected: 1 of 3{NBSP}runs",)


def test_a_standing_page_says_first_what_the_runs_can_tell(carpet: StandingPage) -> None:
    assert carpet.summary[0].startswith("Maker One Stick One (as unboxed) comes first by mean.")
    assert carpet.frame.canonical == "https://bench.example/standings/pickup.html"
    assert [entry.what for entry in carpet.ticket] == [
        "Floor",
        "Soil",
        "Dose",
        "Reading",
        "Unit",
        "Runs asked for",
        "Difference that matters",
    ]


def test_the_cut_line_is_drawn_only_where_something_lies_below_it(carpet: StandingPage) -> None:
    # top_n is 3 and two set-ups are ranked
    assert not any(row.is_last_in_cut for row in carpet.rows)


def test_filters_offer_a_choice_only_where_there_is_one(source: SiteSource) -> None:
    both = filter_choices(source.view, ["one-stock", "two-stock"])

    assert [(choice.value, choice.words) for choice in both.kinds] == [
        ("robot", "robot"),
        ("stick", "stick"),
    ]
    assert filter_choices(source.view, ["one-stock"]).kinds == ()
    assert both.heads == ()  # one head only, the other machine's is not known


def test_a_row_without_a_price_is_not_given_one(source: SiteSource) -> None:
    assert filter_keys(source.view, "one-stock").price == "199.9"
    assert filter_keys(source.view, "two-stock").price == ""


def test_incomplete_set_ups_are_apart_with_what_is_missing(source: SiteSource) -> None:
    page = overall_page(source)

    # two-stock was never run along a wall
    assert [row.name.setup for row in page.rows] == ["one-stock"]
    assert [(row.name.setup, row.missing) for row in page.incomplete] == [
        ("two-stock", "Dust along a wall")
    ]
    assert page.rows[0].interval is None
    assert page.rows[0].why
    assert [weight.series.words for weight in page.weights] == [
        "Dust along a wall",
        "Dust on a rug",
        "Hair in a rug",
    ]


def test_every_run_is_traced_to_its_file_and_row_with_its_readings(stick: MachinePage) -> None:
    (series,) = [one for one in stick.runs if one.title == "Dust on a rug"]
    by_run = {run.run: run for run in series.runs}

    assert list(by_run) == ["hall-01", "hall-02", "porch-01"]
    run = by_run["hall-02"]
    assert (run.file, run.row) == ("data/days/2031-03-02-hall/weighings.csv", "3")
    assert run.readings == f"dose 19.9{NBSP}g; before 260.0{NBSP}g; after 272.0{NBSP}g"
    assert run.flags == ("corrected",)
    assert run.at == "2 March 2031, 19:20"


def test_void_and_planned_runs_are_listed_without_a_value_and_with_the_reason(
    source: SiteSource,
) -> None:
    robot = machine_page(source, source.view.machine["robot-two"])
    (series,) = [one for one in robot.runs if one.title == "Dust on a rug"]
    by_run = {run.run: run for run in series.runs}

    assert series.count == f"2{NBSP}valid runs, 1 void, 1 planned"
    assert (by_run["hall-04"].status, by_run["hall-04"].value) == ("void", None)
    assert by_run["hall-04"].reason == "Hose came off."
    assert (by_run["hall-06"].status, by_run["hall-06"].at) == ("planned", "2 March 2031")


def test_corrections_stand_on_the_page_of_the_machine_they_touch(
    stick: MachinePage, source: SiteSource
) -> None:
    assert [(one.column, one.was, one.now) for one in stick.corrections] == [
        ("before (g)", "260.2", "260.3"),
        ("grade", "2", "1"),
        ("after (g)", "272.0", "278.1"),
        ("before (g)", "260.0", "260.2"),
    ]
    robot = machine_page(source, source.view.machine["robot-two"])
    assert [(one.column, one.was, one.now) for one in robot.corrections] == [
        ("mode", "blank", "quiet")
    ]


def test_all_corrections_lead_to_what_they_are_about(source: SiteSource) -> None:
    page = corrections_page(source)

    assert len(page.corrections) == 5
    assert page.corrections[0].about is not None
    assert page.corrections[0].about.url == "machines/stick-one.html#run-hall-02"


def test_a_maker_s_best_comes_with_the_number_tried(source: SiteSource) -> None:
    page = maker_page(source, source.view.maker["maker-one"])
    by_title = {one.series.words: one for one in page.series}

    carpet = by_title["Dust on a rug"]
    assert (carpet.tried, carpet.best.words) == ("1", "Stick One (as unboxed)")
    assert carpet.in_top_cut == "1 of 1"


def test_a_maker_is_told_from_all_others_only_where_the_analysis_does(source: SiteSource) -> None:
    page = maker_page(source, source.view.maker["maker-one"])
    analysed = source.view.analysed.fields["maker-one"]
    current = [row for row in analysed if source.view.series[row.protocol, row.version].is_current]

    assert current
    assert [row.verdict.words for row in page.field] == [row.relation for row in current]
    assert [row.sentence for row in page.field] == [
        source.sentences.makers["maker-one", (row.protocol, row.version)] for row in current
    ]
    assert all(row.shift.startswith("no shift: ") for row in page.field)  # 2 makers of 1 machine


def test_a_shift_is_told_in_figures_with_true_minus_signs(source: SiteSource) -> None:
    row = source.view.analysed.fields["maker-one"][0]
    told = replace(row, shift=2.71, shift_low=-2.04, shift_high=7.38, decimals=1)

    assert shift_words(told) == "+2.7 (\N{MINUS SIGN}2.0 to 7.4)"


def test_a_method_has_every_version_and_the_cautions_that_apply(source: SiteSource) -> None:
    (versions,) = [v for v in versions_of(source.view) if v[0].protocol == "pickup"]

    page = method_page(source, versions)

    assert page.current.title == "Version 2"
    assert page.current.continues == "Results stay comparable with the version before."
    assert [version.title for version in page.earlier] == ["Version 1"]
    assert page.earlier[0].since == "from 10 January 2031 until 5 March 2031"
    assert any("silica" in caution for caution in page.cautions)
    assert any("Lithium" in caution for caution in page.cautions)  # a stick and a robot ran
    assert not any("Wet tests" in caution for caution in page.cautions)


def test_a_wet_machine_carries_the_caution_for_wet_tests(source: SiteSource) -> None:
    (versions,) = [v for v in versions_of(source.view) if v[0].protocol == "noise"]

    without = cautions_for(versions, [], [])
    assert not any("Wet tests" in caution or "silica" in caution for caution in without)
    assert any("Local rules" in caution for caution in without)


def test_the_first_page_shows_the_head_of_each_current_series(source: SiteSource) -> None:
    page = home_page(source)

    titles = [ticket.title for ticket in page.tickets]
    assert titles == sorted(titles)
    assert len(titles) == 5
    assert {link.words for day in page.days for link in day.series} <= set(titles)
    assert [one.machine.words for one in page.newest] == [
        "Maker One Stick One",
        "Maker Two Robot Two",
    ]


def test_how_machines_came_here_is_counted(source: SiteSource) -> None:
    counts = {line.how: line.count for line in about_page(source).acquired}

    assert counts == {"bought by the bench": "1", "on loan": "1", "a gift": "0", "sponsored": "0"}
    assert about_page(source).one_in == "20"


def test_the_data_page_offers_the_archive_first_and_a_line_that_loads(source: SiteSource) -> None:
    page = data_page(source)

    assert page.archive is not None
    assert [form.size for form in page.archive.forms] == [f"12.4{NBSP}kB"]
    (line,) = page.downloads
    assert line.name == "results/standings"
    assert [form.file.url for form in line.forms] == [
        "dataset/results/standings.csv",
        "dataset/results/standings.parquet",
    ]
    assert [line.tool for line in page.loads] == ["pandas", "frictionless", "DuckDB", "R"]
    address = "https://bench.example/dataset/results/standings.csv"
    assert page.loads[0].code == f'import pandas; pandas.read_csv("{address}")'


def test_the_dictionary_has_every_column_of_every_table(source: SiteSource) -> None:
    (table,) = dictionary_page(source).tables

    assert table.path == "results/standings"
    columns = [(column.name, column.kind, column.unit) for column in table.columns]
    assert columns == [("setup", "string", ""), ("mean", "number", "%")]
    assert [column.is_key for column in table.columns] == [True, False]


def test_each_of_the_35_practices_is_met_or_declined_with_a_reason(source: SiteSource) -> None:
    html = render(Templates(), good_practice_page(source)).decode()

    rows = re.findall(r"<tr><td>(\d+)</td>.*?<td>(.*?)</td><td>(.+?)</td></tr>", html)
    assert [int(number) for number, _, _ in rows] == list(range(1, 36))
    assert {verdict for _, verdict, _ in rows} == {"met", "<strong>declined</strong>"}
