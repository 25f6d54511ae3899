"""How long a page with many set-ups takes from a filter to what a reader sees; a measurement.

In:  numbers of set-ups (default: 200 and 2000).
Out: milliseconds on standard output: until the rows are repainted, and until the chart, too, has
     been redrawn; the first filter also loads the chart runtime and stands by itself.

Run as ``.venv/bin/python tests/speed/time_filters.py``.
"""

from __future__ import annotations

import argparse
import shutil
import sys
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

from playwright.sync_api import Page, sync_playwright

sys.path.insert(0, str(Path(__file__).parents[1]))

from charts.hand_filled import Entry
from web.conftest import ARGUMENTS, PROGRAMS
from web.small_site import write_site_of

ROUNDS = 7
CHANGE = """async (value) => {
  const painted = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
  const control = document.querySelector('[name=kind]');
  const start = performance.now();
  control.value = value;
  control.dispatchEvent(new Event('input', { bubbles: true }));
  await painted();
  const rows = performance.now() - start;
  await window.trialpress.charts.settled();
  await painted();
  return [rows, performance.now() - start];
}"""


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


def time_filters(page: Page) -> tuple[list[float], list[list[float]]]:
    """The first filter, and those after it: rows and everything."""
    first = page.evaluate(CHANGE, "robot")
    return first, [page.evaluate(CHANGE, ["", "robot", "stick"][i % 3]) for i in range(ROUNDS)]


def main() -> None:
    """Measure each size in a browser of its own."""
    parser = argparse.ArgumentParser(description="Time filters in a browser.")
    parser.add_argument("setups", type=int, nargs="*", default=[200, 2000])
    program = next(path for path in map(shutil.which, PROGRAMS) if path)
    with sync_playwright() as playwright, TemporaryDirectory() as folder:
        for setups in parser.parse_args().setups:
            page_file = write_site_of(many(setups), Path(folder) / str(setups))
            browser = playwright.chromium.launch(executable_path=program, args=ARGUMENTS)
            page = browser.new_page(viewport={"width": 1280, "height": 900})
            page.goto(page_file.as_uri())
            page.wait_for_function("() => window.trialpress.charts")
            first, later = time_filters(page)
            rows, everything = (median(one[i] for one in later) for i in (0, 1))
            sys.stdout.write(
                f"{setups:5} set-ups: rows {rows:6.0f} ms, with chart {everything:6.0f} ms; "
                f"first filter {first[0]:6.0f} ms, with chart {first[1]:6.0f} ms\n"
            )
            browser.close()


if __name__ == "__main__":
    main()
