"""Slower evidence about the built demo site; it is measured here and asserted nowhere.

In:  the demo bench; Node.js and a Java runtime for the programs in ``package.json``; Debian's
     ``tesseract-ocr``.
Out: ``FIGURES.md`` beside this file, and the tables of the studies.

Run as ``make audit``. With names of parts (``gather.py sizes lighthouse``) only those are gathered
anew, and the other parts of the file stay as they are.
"""

from __future__ import annotations

import gzip
import hashlib
import json
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from types import MappingProxyType

HERE = Path(__file__).parent
FIGURES = HERE / "FIGURES.md"
ROOT = HERE.parents[1]
sys.path.insert(0, str(HERE.parent))  # so that `audit` is found as a script

from audit.association_study import study as association_figures  # noqa: E402
from audit.damage_study import study as damage_figures  # noqa: E402
from audit.hostile_study import study as hostile_figures  # noqa: E402
from audit.kit_study import study as kit_figures  # noqa: E402
from audit.mutant_study import study as mutant_figures  # noqa: E402
from audit.served import served  # noqa: E402
from speed.time_filters import REACHED_MS, time_repaints  # noqa: E402

AS_OF = date(2099, 1, 1)  # everything in the bench
PROGRAMS = HERE / "node_modules"
OTHERS = HERE / ".venv"
"""An environment of programs whose needs differ from ours; ``requirements.txt`` beside this."""
NEEDED = ("npm", "node", "java", "chromium", "tesseract")
KIT = ("aluen-6-roller", "--against", "aluen-6-bristle", "--as-of", "2026-11-20")
CATEGORIES = ("performance", "accessibility", "best-practices", "seo")
CHROMIUM_FLAGS = (
    "--headless=new --no-sandbox --disable-gpu --disable-quic --no-first-run "
    "--disable-background-networking --disable-component-update --disable-sync"
)
PAGES = (
    "index.html",
    "overall.html",
    "standings/carpet.html",
    "standings/*-v1.html",
    "my-floors.html",
    "compare.html",
    "matrix.html",
    "machines/index.html",
    "machines/aluen-6.html",
    "worked/aluen-6.html",
    "makers/index.html",
    "makers/taldure.html",
    "maker-pair.html",
    "questions.html",
    "prices.html",
    "prices/deep-rug.html",
    "claims.html",
    "claims/suction.html",
    "goes-with.html",
    "goes-with/carpet.html",
    "floors/*.html",
    "methods/index.html",
    "methods/carpet.html",
    "data.html",
    "about.html",
    "figures.html",
    "watch.html",
    "news.html",
    "corrections.html",
    "search.html",
    "embed/standings-carpet-v1.html",
)
EXAMPLES_TIMES = 10
EVERYDAY_EXAMPLES = 60
DAMAGED = 20_000  # benches
KILLS = 168  # of each of four programs; half of them of a build, a quarter of each of six commands
MUTANTS = 40  # lines changed
SITES = 200  # simulated, for what goes with results
ROUNDS = 3  # Lighthouse's figures scatter; the middle one counts
MEASURES = ("first-contentful-paint", "total-blocking-time", "cumulative-layout-shift")
SHEETS = re.compile(r"static/(\w+\.css)")
PACK = """const file = require('fs').readFileSync(process.argv[1]);
console.log(require('zlib').brotliCompressSync(file).length)"""
HEADING = "# What `make audit` found on the demo bench"
SPLIT = re.compile(r"^## (\w+)\n", re.MULTILINE)


@dataclass(frozen=True)
class Figure:
    """One line of the table."""

    what: str
    found: str


def main() -> None:
    """Build the demo, examine it, write what was found."""
    missing = [program for program in NEEDED if shutil.which(program) is None]
    if missing:
        sys.exit(f"make audit needs {', '.join(missing)} as well; install them and try again.")
    wanted = sys.argv[1:] or list(PARTS)
    if unknown := set(wanted) - set(PARTS):
        sys.exit(f"no part is called {', '.join(sorted(unknown))}; there are {', '.join(PARTS)}.")
    run("npm", "ci", "--ignore-scripts", "--no-fund", "--no-audit", cwd=HERE)
    found = sections(FIGURES.read_text(encoding="utf-8") if FIGURES.is_file() else "")
    with TemporaryDirectory() as folder:
        run(
            Path(sys.executable).parent / "trialpress",
            *("build", "--quiet", "--as-of", AS_OF.isoformat(), "--out", folder),
            cwd=ROOT,
        )
        for name in wanted:
            found[name] = table(PARTS[name](Path(folder)))
            sys.stdout.write(f"{name}\n{found[name]}\n")
            write(found)  # what is measured stays, though a later part should fail


def write(found: Mapping[str, str]) -> None:
    """The file, its parts in their order."""
    text = "\n".join(f"## {name}\n\n{found[name]}\n" for name in PARTS if name in found)
    FIGURES.write_text(f"{HEADING}\n\n{text}", encoding="utf-8")


def sections(text: str) -> dict[str, str]:
    """The tables of the file, by the names of their parts."""
    _, *parts = SPLIT.split(text)
    return {name: body.strip() for name, body in zip(parts[::2], parts[1::2], strict=True)}


def table(figures: Iterable[Figure]) -> str:
    """Figures as a table."""
    lines = [f"| {figure.what} | {figure.found} |" for figure in figures]
    return "\n".join(["| what | found |", "|---|---|", *lines])


def run(
    *command: str | Path,
    cwd: Path,
    allowed: tuple[int, ...] = (0,),
    environment: Mapping[str, str] = MappingProxyType({}),
) -> subprocess.CompletedProcess[str]:
    """Start a program and stop the audit where it fails."""
    whole = {**os.environ, "CHROME_PATH": shutil.which("chromium") or "", **environment}
    done = subprocess.run(command, cwd=cwd, env=whole, capture_output=True, text=True, check=False)
    if done.returncode not in allowed:
        sys.exit(f"{command[0]} failed:\n{done.stdout[-2000:]}\n{done.stderr[-2000:]}")
    return done


def sizes(out: Path) -> Iterator[Figure]:
    """How much a reader or a server has to carry."""
    site = out / "site"
    files = [path for path in site.rglob("*") if path.is_file()]
    pages = [path for path in files if path.suffix == ".html"]
    packed = {path: packed_size(path) for path in pages}
    style = {file.name: packed_size(file) for file in (site / "static").glob("*.css")}
    sheets = {path: SHEETS.findall(path.read_text("utf-8")) for path in pages}
    views = {path: packed[path] + sum(map(style.__getitem__, sheets[path])) for path in pages}
    largest = max(pages, key=views.__getitem__)
    name = largest.relative_to(site).as_posix()
    yield Figure("files of the site", f"{len(files)}")
    yield Figure("all of it", f"{sum(path.stat().st_size for path in files) / 1e6:.1f} MB")
    yield Figure("pages", f"{len(pages)}")
    yield Figure("middle page, compressed", f"{median(packed.values()) / 1000:.0f} kB")
    yield Figure(f"largest page (`{name}`), compressed", f"{packed[largest] / 1000:.0f} kB")
    yield Figure("its first view, with styles and faces", f"{views[largest] / 1000:.0f} kB")
    runtime = run("node", "-e", PACK, site / "static/vendor/vega-runtime.js", cwd=HERE).stdout
    yield Figure("what redraws charts, in brotli", f"{int(runtime) / 1000:.0f} kB")
    previews = list((site / "previews").glob("*.png"))
    size = sum(path.stat().st_size for path in previews) / 1e6
    yield Figure("preview pictures", f"{len(previews)}, {size:.1f} MB")


def packed_size(file: Path) -> int:
    """Bytes of a file as a server sends it."""
    return len(gzip.compress(file.read_bytes(), 9))


def markup(out: Path) -> Iterator[Figure]:
    """What the Nu HTML Checker says of every page, the pictures in them and the style sheets."""
    site = out / "site"
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


def filters(_: Path) -> Iterator[Figure]:
    """From a filter to its repaint, on pages far larger than any bench's."""
    for took in time_repaints((200, 2000)):
        yield Figure(f"{took.setups} set-ups, the table in view", f"{took.table_ms:.0f} ms")
        yield Figure(f"{took.setups} set-ups, the chart in view", f"{took.chart_ms:.0f} ms")
        what = f"the chart in view, the first filter, {REACHED_MS} ms after its control is reached"
        yield Figure(f"{took.setups} set-ups, {what}", f"{took.first_ms:.0f} ms")


def lighthouse(out: Path) -> Iterator[Figure]:
    """Lighthouse on one page of each kind, as a phone on a slow line loads it."""
    site = out / "site"
    yield Figure("page", " · ".join((*CATEGORIES, "first paint", "blocked", "layout shift")))
    with served(site) as address:
        for pattern in PAGES:
            page = min(site.glob(pattern)).relative_to(site).as_posix()
            rounds = [_loaded(address + page) for _ in range(ROUNDS)]
            *scores, painted, blocked, shifted = map(median, zip(*rounds, strict=True))
            said = [f"{100 * score:.0f}" for score in scores]
            said += [f"{painted / 1000:.1f} s", f"{blocked:.0f} ms", f"{shifted:.3f}"]
            yield Figure(f"`{page}`", " · ".join(said))


def _loaded(address: str) -> list[float]:
    """The scores and measures of one visit."""
    with TemporaryDirectory() as folder:
        report = Path(folder) / "report.json"
        run(
            *("node", PROGRAMS / "lighthouse/cli/index.js", address, "--quiet"),
            *("--output", "json", "--output-path", report),
            f"--chrome-flags={CHROMIUM_FLAGS}",
            cwd=HERE,
        )
        said = json.loads(report.read_text(encoding="utf-8"))
    scores = [said["categories"][name]["score"] for name in CATEGORIES]
    return [*scores, *(said["audits"][name]["numericValue"] for name in MEASURES)]


def study(_: Path) -> Iterator[Figure]:
    """The studies of false separations and of chances, which write their own tables."""
    run(sys.executable, "-m", "audit.separation_study", cwd=HERE.parent)
    yield Figure("false separations of equals, by simulation", "[SEPARATION.md](SEPARATION.md)")
    run(sys.executable, HERE / "level_study.py", cwd=ROOT)
    yield Figure("intervals where spreads go with the level", "[LEVELS.md](LEVELS.md)")
    run(sys.executable, HERE / "chance_study.py", cwd=ROOT)
    yield Figure("chances of the cut, told and come true", "[CHANCE.md](CHANCE.md)")


def associations(_: Path) -> Iterator[Figure]:
    """How often something is told to go with results by chance alone."""
    yield from (Figure(*line) for line in association_figures(SITES))


def fuzzing(_: Path) -> Iterator[Figure]:
    """Every property test with many and new examples."""
    report = run(
        *(sys.executable, "-m", "pytest", "-q", "-n", "2", "--dist", "loadfile"),
        *("-m", "hypothesis"),
        cwd=ROOT,
        environment={"MORE_EXAMPLES": str(EXAMPLES_TIMES)},
    ).stdout
    passed = re.search(r"(\d+) passed", report)
    yield Figure("properties tried", passed[1] if passed else "0")
    yield Figure("examples of most of them", f"{EXAMPLES_TIMES * EVERYDAY_EXAMPLES}, drawn anew")


def damage(_: Path) -> Iterator[Figure]:
    """Benches damaged at random, which may end in findings or results only."""
    yield from (Figure(*line) for line in damage_figures(DAMAGED))


def payloads(_: Path) -> Iterator[Figure]:
    """Text that tries to run, in every free text of a bench."""
    yield from (Figure(*line) for line in hostile_figures())


def kills(_: Path) -> Iterator[Figure]:
    """Every program that writes, killed at random moments."""
    report = run(
        *(sys.executable, "-m", "pytest", "-q", "-n", "2", "--dist", "worksteal"),
        *("-k", "killed_at_any_moment"),
        cwd=ROOT,
        environment={"TRIALPRESS_KILLS": str(KILLS)},
    ).stdout
    passed = re.search(r"(\d+) passed", report)
    yield Figure(
        "programs and commands that were killed, each in the middle of writing",
        passed[1] if passed else "0",
    )
    yield Figure("kills", f"{4 * KILLS + KILLS // 2 + 6 * (KILLS // 4):,}")
    yield Figure("rows lost that were kept; sites, branches or benches that were not whole", "0; 0")


def mutants(_: Path) -> Iterator[Figure]:
    """Whether tests notice that a line of the mathematics was changed."""
    yield from (Figure(*line) for line in mutant_figures(MUTANTS, other_programs() / "python"))


def wheel(folder: Path) -> Iterator[Figure]:
    """The package, built twice from two copies of the repository, with other times."""
    digests = set[str]()
    for name in ("first", "second"):
        copy = folder / name
        run("git", "clone", "--quiet", ROOT, copy, cwd=folder)
        for path in copy.rglob("*"):
            os.utime(path, (len(digests), len(digests)), follow_symlinks=False)
        how = ("--quiet", "--no-deps", "--no-build-isolation", "--wheel-dir", copy / "dist")
        run(sys.executable, "-m", "pip", "wheel", *how, copy, cwd=copy)
        (built,) = (copy / "dist").glob("*.whl")
        digests.add(hashlib.sha256(built.read_bytes()).hexdigest())
    parts = json.loads((HERE / "SBOM.cdx.json").read_text("utf-8"))["components"]
    yield Figure("different wheels from two builds", f"{len(digests)} of 2")
    yield Figure("packages and faces in it or needed by it", f"[{len(parts)}](SBOM.cdx.json)")


def citation(_: Path) -> Iterator[Figure]:
    """The newest edition's citation, by the validator of its format."""
    newest = max((ROOT / "data/editions").glob("*.zip"))
    with TemporaryDirectory() as folder:
        shutil.unpack_archive(newest, folder)
        (file,) = Path(folder).rglob("CITATION.cff")
        program = other_programs() / "cffconvert"
        said = run(program, "--validate", "--infile", file, cwd=HERE).stdout
        cited = run(program, "--format", "apalike", "--infile", file, cwd=HERE).stdout
    yield Figure(f"`CITATION.cff` of edition {newest.stem} (cffconvert)", said.strip())
    yield Figure("to be cited as", cited.strip())


def other_programs() -> Path:
    """The folder of programs that have an environment of their own, made when it is first asked."""
    if not (OTHERS / "bin").is_dir():
        run(sys.executable, "-m", "venv", OTHERS, cwd=HERE)
        lock = ("--no-deps", "--require-hashes", "--requirement", HERE / "requirements.txt")
        run(OTHERS / "bin/python", "-m", "pip", "install", "--quiet", *lock, cwd=HERE)
    return OTHERS / "bin"


def stills(out: Path) -> Iterator[Figure]:
    """What a program that reads pictures finds on the stills of a kit."""
    program = Path(sys.executable).parent / "trialpress"
    run(program, "kit", *KIT, "--quiet", "--out", out, cwd=ROOT)
    yield from (Figure(*line) for line in kit_figures(out / "kit" / KIT[0]))


def coverage(folder: Path) -> Iterator[Figure]:
    """How much of the package the whole test suite runs through, without what it starts."""
    report = folder / "coverage.json"
    run(
        *(sys.executable, "-m", "pytest", "-q", "-n", "2", "--dist", "loadfile"),
        *("--cov", "--cov-report", f"json:{report}"),
        cwd=ROOT,
    )
    totals = json.loads(report.read_text(encoding="utf-8"))["totals"]
    what = "lines and branches the tests run through, commands they start not counted"
    yield Figure(what, f"{totals['percent_covered']:.1f} %")


PARTS: Mapping[str, Callable[[Path], Iterator[Figure]]] = {
    part.__name__: part
    for part in (
        sizes,
        filters,
        markup,
        lighthouse,
        study,
        associations,
        fuzzing,
        damage,
        payloads,
        kills,
        mutants,
        wheel,
        citation,
        stills,
        coverage,
    )
}


if __name__ == "__main__":
    main()
