"""How long a page with many set-ups takes from a filter to what a reader sees; a measurement.

In:  numbers of set-ups (default: 200 and 2000), or the page of a standing that was built.
Out: milliseconds on standard output: until what is in view is repainted where that is the table,
     and where it is the chart; the first filter comes so soon after its control was reached for,
     which is when what draws the chart begins to load. Of a built standing: until a filter is
     painted, and how much of that the page's own thread worked, which hardly depends on what else
     the machine does.

Run as ``.venv/bin/python tests/speed/time_filters.py``, or with ``--page FILE --width 390``.
"""

from __future__ import annotations

import argparse
import shutil
import sys
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

from playwright.sync_api import CDPSession, Page, sync_playwright

sys.path.insert(0, str(Path(__file__).parents[1]))

from charts.hand_filled import Entry
from web.conftest import ARGUMENTS, PROGRAMS
from web.small_site import write_site_of

ROUNDS = 9
CHANGE = """async (value) => {
  const painted = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
  const control = document.querySelector('[name=kind]');
  const start = performance.now();
  control.value = value;
  control.dispatchEvent(new Event('input', { bubbles: true }));
  await window.trialpress.charts.settled();
  await painted();
  return performance.now() - start;
}"""
REACH = "() => document.querySelector('[name=kind]').focus({ preventScroll: true })"
REACHED_MS = 400
"""From reaching for a list to having chosen from it, by who is quick."""
READING_MS = 2500
"""The same by who reads what there is to choose from."""
AT_REST = "() => new Promise((done) => requestIdleCallback(() => requestIdleCallback(done)))"
KINDS = ("", "robot", "stick")


@dataclass(frozen=True)
class Repaint:
    """Milliseconds from a filter to its repaint: medians, and the first with the chart in view.

    ``first_ms`` is counted from the choice, ``REACHED_MS`` after its control was reached for.
    """

    setups: int
    table_ms: float
    chart_ms: float
    first_ms: float


def many(setups: int) -> list[Entry]:
    """Set-ups with falling means, every third one a stick."""
    return [
        Entry(
            f"machine-{i}-stock",
            100 - 60 * i / setups,
            99 - 60 * i / setups,
            101 - 60 * i / setups,
            (max(i - 5, 1), min(i + 5, setups)),
            machine=f"maker-{i}",
        )
        for i in range(1, setups + 1)
    ]


def time_repaints(sizes: Iterable[int]) -> Iterator[Repaint]:
    """Measure pages of these sizes, each in a browser of its own."""
    program = next(path for path in map(shutil.which, PROGRAMS) if path)
    with sync_playwright() as playwright, TemporaryDirectory() as folder:
        for setups in sizes:
            file = write_site_of(many(setups), Path(folder) / str(setups))
            browser = playwright.chromium.launch(executable_path=program, args=ARGUMENTS)
            page = browser.new_page(viewport={"width": 1280, "height": 900})
            page.goto(file.as_uri())
            page.wait_for_function("() => window.trialpress.charts")
            page.locator("figure").evaluate("figure => figure.scrollIntoView()")
            page.evaluate(REACH)
            page.wait_for_timeout(REACHED_MS)
            first: float = page.evaluate(CHANGE, "robot")
            chart = _typical(page)
            page.evaluate("window.scrollTo(0, 0)")
            yield Repaint(setups, _typical(page), chart, first)
            browser.close()


@dataclass(frozen=True)
class Filtering:
    """Milliseconds a filter of a built standing takes: the first, and the median of later ones."""

    first_ms: float
    first_work_ms: float
    later_ms: float
    later_work_ms: float


def time_page(file: Path, width: int) -> Filtering:
    """Filter the table of a built standing by kind, in a window so many pixels wide."""
    program = next(path for path in map(shutil.which, PROGRAMS) if path)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, args=ARGUMENTS)
        page = browser.new_page(viewport={"width": width, "height": 900})
        thread = page.context.new_cdp_session(page)
        thread.send("Performance.enable", {"timeDomain": "threadTicks"})
        page.goto(file.resolve().as_uri())
        page.locator("[data-filters]").wait_for(state="attached")
        page.evaluate("document.querySelectorAll('.fold').forEach((fold) => { fold.open = true; })")
        page.evaluate(AT_REST)
        page.evaluate(REACH)
        page.wait_for_timeout(READING_MS)
        taken: list[tuple[float, float]] = []
        for number in range(1 + ROUNDS):
            before = _worked_ms(thread)
            painted: float = page.evaluate(CHANGE, KINDS[(number + 1) % len(KINDS)])
            taken.append((painted, _worked_ms(thread) - before))
            page.evaluate(AT_REST)
        browser.close()
    first, *later = taken
    return Filtering(*first, *map(median, zip(*later, strict=True)))


def _worked_ms(thread: CDPSession) -> float:
    """What the thread of a page has worked since it was opened."""
    metrics = thread.send("Performance.getMetrics")["metrics"]
    (worked_s,) = [one["value"] for one in metrics if one["name"] == "TaskDuration"]
    return 1000 * float(worked_s)


def _typical(page: Page) -> float:
    """The median of filters that show all, two thirds and one third in turn."""
    taken: list[float] = []
    for number in range(ROUNDS):
        taken.append(page.evaluate(CHANGE, KINDS[number % len(KINDS)]))
        page.evaluate(AT_REST)
    return median(taken)


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description="Time filters in a browser.")
    parser.add_argument("setups", type=int, nargs="*", default=[200, 2000])
    parser.add_argument("--page", type=Path, help="the page of a standing that was built")
    parser.add_argument("--width", type=int, default=1440, help="of its window, in pixels")
    asked = parser.parse_args()
    if asked.page:
        filtering = time_page(asked.page, asked.width)
        sys.stdout.write(
            f"first {filtering.first_ms:.0f} ms, of them work {filtering.first_work_ms:.0f} ms; "
            f"later {filtering.later_ms:.0f} ms, of them work {filtering.later_work_ms:.0f} ms\n"
        )
        return
    for took in time_repaints(asked.setups):
        sys.stdout.write(
            f"{took.setups:5} set-ups: table {took.table_ms:5.0f} ms, "
            f"chart {took.chart_ms:5.0f} ms, with the first filter {took.first_ms:5.0f} ms\n"
        )


if __name__ == "__main__":
    main()
