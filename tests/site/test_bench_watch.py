"""The bench watched by its reference, on a bench whose last day went wrong."""

from __future__ import annotations

from typing import Protocol

from trialpress.bench import Bench
from trialpress.site.head import with_head
from trialpress.site.pages.bench_watch import bench_watch_page
from trialpress.site.pages.machine import machine_page
from trialpress.site.source import SiteSource
from trialpress.site.templates import Templates, render

HEADER = "run,at,setup,protocol,version,replicate,instrument,value,status,reason"
USUAL = (71.0, 71.6)  # two readings in turn


class ReadSource(Protocol):
    def __call__(self) -> SiteSource: ...


def run_reference(bench: Bench, *last: float, days: int = 20) -> None:
    """Usual days of one run after the one that the reference has, then a day of some."""
    usual = [(f"2031-03-{10 + i}", 2 + i, (USUAL[i % 2],)) for i in range(days)]
    for date, first, values in (*usual, ("2031-03-30", 22, last)):
        day = bench.days / f"{date}-hall"
        day.mkdir()
        lines = [
            f"{date}-{i},{date},one-stock,noise,1,{i},meter,{value},valid,"
            for i, value in enumerate(values, start=first)
        ]
        (day / "values.csv").write_text("\n".join((HEADER, *lines, "")), encoding="utf-8")


def test_a_day_beyond_the_limits_is_told_with_its_day_and_every_run_of_it(
    bench: Bench, drawn: ReadSource
) -> None:
    # The standard deviation of the first twenty days (71.4 once, then 71.0 and 71.6 in turn) is
    # 0.3, so a day of 80.6 on average is far beyond 3.5 of it.
    run_reference(bench, 71.2, 90.0)

    page = bench_watch_page(drawn())

    (day,) = page.flagged
    assert day.day == "30 March 2031"
    assert day.series == "Sound in use"
    assert "beyond the limits" in day.signals
    assert [run.url.partition("#")[2] for run in day.runs] == [
        "run-2031-03-30-22",
        "run-2031-03-30-23",
    ]
    assert "1 day out of line" in page.summary.replace("\N{NO-BREAK SPACE}", " ")


def test_a_flagged_number_leads_to_the_bench_watch(bench: Bench, drawn: ReadSource) -> None:
    run_reference(bench, 71.2, 90.0)
    source = drawn()
    machine = next(row for row in source.view.machines if row.machine == "stick-one")

    text = render(Templates(), machine_page(source, machine)).decode()

    row = text[text.index('id="run-2031-03-30-23"') :]
    assert 'href="../watch.html#flagged"' in row[: row.index("</tr>")]


def test_a_quiet_bench_says_so(bench: Bench, drawn: ReadSource) -> None:
    run_reference(bench, 71.2)

    page = bench_watch_page(drawn())

    assert page.flagged == ()
    assert "no day out of line" in page.summary
    noise = next(one for one in page.series if one.title == "Sound in use")
    assert "from the first 20" in noise.limits[0].replace("\N{NO-BREAK SPACE}", " ")
    assert len(noise.days) == 22
    assert "looked for: none stands out" in noise.step
    assert "On the next 10 days of the reference" in noise.sees.replace("\N{NO-BREAK SPACE}", " ")


def test_a_step_among_the_first_days_is_told_with_its_day(bench: Bench, drawn: ReadSource) -> None:
    run_reference(bench, 71.2)
    for day in bench.days.glob("2031-03-[12]*"):
        file = day / "values.csv"
        is_late = day.name >= "2031-03-20"
        text = file.read_text(encoding="utf-8")
        file.write_text(text.replace(",71.", ",73.") if is_late else text, encoding="utf-8")

    page = bench_watch_page(drawn())

    noise = next(one for one in page.series if one.title == "Sound in use")
    # 71.0 and 71.6 in turn and 71.4 first; two more from 20 March on: 71.309 before, 73.267 after
    assert noise.is_step_clear
    assert "from 20 March 2031 on they differ by +1.96" in noise.step


def test_a_short_baseline_is_said(bench: Bench, drawn: ReadSource) -> None:
    run_reference(bench, 71.2, days=2)

    page = bench_watch_page(drawn())

    few = next(one for one in page.series if one.title == "Sound in use")
    assert few.limits[1].startswith("That is a short baseline")


def test_without_a_reference_nothing_watches_the_bench(bench: Bench, drawn: ReadSource) -> None:
    setups = bench.catalogue / "setups.csv"
    text = setups.read_text(encoding="utf-8").replace("true,true", "true,false")
    setups.write_text(text, encoding="utf-8")
    source = drawn()

    page = with_head(source, bench_watch_page(source))

    assert "nothing watches this bench" in render(Templates(), page).decode()
