"""Slower evidence about the built demo site; it is measured here and asserted nowhere.

In:  the demo bench; Node.js and a Java runtime for the programs in ``package.json``.
Out: ``FIGURES.md`` beside this file.

Run as ``make audit``.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
sys.path.insert(0, str(HERE.parent))  # so that `audit` is found as a script

from audit.served import served  # noqa: E402

AS_OF = date(2099, 1, 1)  # everything in the bench
PROGRAMS = HERE / "node_modules"
NEEDED = ("npm", "node", "java", "chromium")
CATEGORIES = ("performance", "accessibility", "best-practices", "seo")
CHROMIUM_FLAGS = (
    "--headless=new --no-sandbox --disable-gpu --disable-quic --no-first-run "
    "--disable-background-networking --disable-component-update --disable-sync"
)
PAGES = ("index.html", "overall.html", "standings/*.html", "machines/*.html", "data.html")


@dataclass(frozen=True)
class Figure:
    """One line of the table."""

    what: str
    found: str


def main() -> None:
    """Build the demo, examine it, write the table."""
    missing = [program for program in NEEDED if shutil.which(program) is None]
    if missing:
        sys.exit(f"make audit needs {', '.join(missing)} as well; install them and try again.")
    run("npm", "ci", "--ignore-scripts", "--no-fund", "--no-audit", cwd=HERE)
    with TemporaryDirectory() as folder:
        run(
            Path(sys.executable).parent / "trialpress",
            *("build", "--quiet", "--as-of", AS_OF.isoformat(), "--out", folder),
            cwd=ROOT,
        )
        site = Path(folder) / "site"
        figures = [*sizes(site), *markup(site), *audits(site), *coverage(Path(folder))]
    lines = [f"| {figure.what} | {figure.found} |" for figure in figures]
    table = "\n".join(["| what | found |", "|---|---|", *lines])
    (HERE / "FIGURES.md").write_text(
        f"# What `make audit` found on the demo bench\n\n{table}\n", encoding="utf-8"
    )
    sys.stdout.write(f"{table}\n")


def run(
    *command: str | Path, cwd: Path, allowed: tuple[int, ...] = (0,)
) -> subprocess.CompletedProcess[str]:
    """Start a program and stop the audit where it fails."""
    environment = {**os.environ, "CHROME_PATH": shutil.which("chromium") or ""}
    done = subprocess.run(
        command, cwd=cwd, env=environment, capture_output=True, text=True, check=False
    )
    if done.returncode not in allowed:
        sys.exit(f"{command[0]} failed:\n{done.stdout[-2000:]}\n{done.stderr[-2000:]}")
    return done


def sizes(site: Path) -> Iterator[Figure]:
    """How much a reader or a server has to carry."""
    files = [path for path in site.rglob("*") if path.is_file()]
    pages = sorted(path.stat().st_size for path in files if path.suffix == ".html")
    yield Figure("files of the site", f"{len(files)}")
    yield Figure("pages", f"{len(pages)}")
    yield Figure("middle page, uncompressed", f"{median(pages) / 1000:.0f} kB")
    yield Figure("largest page, uncompressed", f"{pages[-1] / 1000:.0f} kB")


def markup(site: Path) -> Iterator[Figure]:
    """What the Nu HTML Checker says of every page, the pictures in them and the style sheets."""
    checker = PROGRAMS / "vnu-jar/build/dist/vnu.jar"
    files = sorted(path for path in site.rglob("*") if path.suffix in {".html", ".css"})
    done = run(
        *("java", "-jar", checker, "--format", "json", "--also-check-css"),
        *files,
        cwd=site,
        allowed=(0, 1),
    )
    messages = json.loads(done.stderr or done.stdout)["messages"]
    errors = [message for message in messages if message["type"] == "error"]
    yield Figure("errors in HTML, CSS and SVG (Nu HTML Checker)", f"{len(errors)}")
    yield Figure("its other remarks", f"{len(messages) - len(errors)}")
    for text in sorted({message["message"] for message in errors})[:10]:
        yield Figure("error", text.replace("|", "/"))


def audits(site: Path) -> Iterator[Figure]:
    """Lighthouse on one page of each kind, as a phone on a slow line loads it."""
    yield Figure("Lighthouse, page", " · ".join(CATEGORIES))
    with served(site) as address, TemporaryDirectory() as folder:
        for pattern in PAGES:
            page = min(site.glob(pattern)).relative_to(site).as_posix()
            report = Path(folder) / "report.json"
            run(
                *("node", PROGRAMS / "lighthouse/cli/index.js", address + page, "--quiet"),
                *("--output", "json", "--output-path", report),
                f"--chrome-flags={CHROMIUM_FLAGS}",
                cwd=HERE,
            )
            scores = json.loads(report.read_text(encoding="utf-8"))["categories"]
            yield Figure(
                f"`{page}`", " · ".join(f"{100 * scores[name]['score']:.0f}" for name in CATEGORIES)
            )


def coverage(folder: Path) -> Iterator[Figure]:
    """How much of the package the whole test suite runs through."""
    report = folder / "coverage.json"
    run(
        *(sys.executable, "-m", "pytest", "-q", "-n", "2", "--dist", "loadfile"),
        *("--cov", "--cov-report", f"json:{report}"),
        cwd=ROOT,
    )
    totals = json.loads(report.read_text(encoding="utf-8"))["totals"]
    yield Figure("lines and branches the tests run through", f"{totals['percent_covered']:.1f} %")


if __name__ == "__main__":
    main()
