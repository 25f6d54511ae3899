"""Text that tries to run: every payload in every free text of a bench, its pages in a browser.

In:  nothing but the small bench, and how many of the payloads to plant.
Out: figures for ``FIGURES.md``. It stops at the first dialog, foreign element, foreign request or
     error in the console, and names it.

Each round plants another payload in each cell, so that after as many rounds as there are payloads
every column has held every one. Pages are opened with the site's policy and with it bypassed: what
holds is that text is written as text, and the policy is the second lock.
"""

from __future__ import annotations

import csv
import io
import json
import shutil
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from playwright.sync_api import (
    Browser,
    BrowserContext,
    ConsoleMessage,
    Dialog,
    Page,
    Request,
    sync_playwright,
)

from audit.served import served
from intake.broken import BASE
from trialpress.bench import Bench
from trialpress.flow import Order, Output, build
from trialpress.intake import FaultyBenchError, Finding, Severity, read_bench
from trialpress.intake.schemas import read_schema_text

AS_OF = date(2031, 12, 31)
ADDRESS = "https://elsewhere.example/x"
RUN = "window.ranHere=1;alert(1)"
PAYLOADS = (
    f"<script>{RUN}</script>",
    f"</script><script>{RUN}</script>",
    f"</title><script>{RUN}</script>",
    f"</textarea><script>{RUN}</script>",
    f"</style><script>{RUN}</script>",
    f"x--><script>{RUN}</script>",
    f"]]><script>{RUN}</script>",
    f"<ScRiPt >{RUN}</sCrIpT>",
    f"<script\n>{RUN}</script\n>",
    f"<script src={ADDRESS}></script>",
    f"<img src=x onerror='{RUN}'>",
    f'"><img src=x onerror="{RUN}">',
    f"'><img src=x onerror='{RUN}'>",
    f"<img src={ADDRESS}>",
    f"<svg onload='{RUN}'>",
    f"<svg><script>{RUN}</script></svg>",
    f"<svg><animate onbegin='{RUN}' attributeName=x dur=1s>",
    f"</svg><script>{RUN}</script>",
    f"</text><image href={ADDRESS} onerror='{RUN}'/>",
    f"<math><mtext></mtext><img src=x onerror='{RUN}'></math>",
    f"<iframe srcdoc='<script>parent.{RUN}</script>'></iframe>",
    f"<iframe src={ADDRESS}></iframe>",
    f"<iframe src='javascript:parent.{RUN}'></iframe>",
    f"<object data={ADDRESS}></object>",
    f"<embed src={ADDRESS}>",
    f"<link rel=stylesheet href={ADDRESS}>",
    f"<style>@import '{ADDRESS}';</style>",
    f"<style>*{{background:url({ADDRESS})}}</style>",
    f"<base href={ADDRESS}>",
    f"<meta http-equiv=refresh content='0;url={ADDRESS}'>",
    f"<form action={ADDRESS}><input autofocus onfocus='{RUN}'></form>",
    f"<input autofocus onfocus='{RUN}'>",
    f"<details open ontoggle='{RUN}'>",
    f"<video src={ADDRESS} onerror='{RUN}'></video>",
    f"<audio src=x onerror='{RUN}'></audio>",
    f"<body onload='{RUN}'>",
    f"<marquee onstart='{RUN}'>x</marquee>",
    f"<template><script>{RUN}</script></template>",
    f"<noscript><p title='</noscript><script>{RUN}</script>'>",
    f"<a href='javascript:{RUN}'>x</a>",
    f"[x](javascript:{RUN})",
    f"![x]({ADDRESS})",
    f"[x]: {ADDRESS}",
    f"<{ADDRESS}>",
    f'" onmouseover="{RUN}" x="',
    f"' onfocus='{RUN}' autofocus='",
    f"` onerror=`{RUN}`",
    f"javascript:{RUN}",
    "data:text/html,<script>alert(1)</script>",
    f"';{RUN};//",
    f'";{RUN};//',
    f"\\';{RUN};//",
    f"\\u003cscript\\u003e{RUN}\\u003c/script\\u003e",
    f"&lt;script&gt;{RUN}&lt;/script&gt;",
    f"&#60;script&#62;{RUN}&#60;/script&#62;",
    f"%3Cscript%3E{RUN}%3C/script%3E",
    f"${{{RUN}}}",
    f"{{{{ {RUN} }}}}",
    "{{ ''.__class__.__mro__ }}",
    "{% include '/etc/passwd' %}",
    "%(name)s {name} {0} %s %n",
    "__proto__ constructor toString",
    "datum['constructor'] + signal('x')",
    "a\u202eb\u2066c",
    "x" * 1_900,
    "W" * 300 + " <b>bold</b> & <i>",
    "\U0001f9f9 \u0628\u062d\u062b \u5730\u6bef \u0939\u093f e\u0301\u0323\u0302\u0308",
    "'; drop table runs; --",
    "| pipe | in | a | table |",
    "line one\nline two\n\n# heading\n- item",
)
INJECTED = "script:not([src]):not([type$='json']), iframe, object, embed, base, marquee"
"""Elements that no page of ours has."""
KEPT = {
    "corrections": {"row", "column", "was", "now"},  # they have to match what they correct
    "setups": {"mode"},  # corrected in the small bench
    "instruments": {"unit"},  # has to be that of the readings
    "protocols": {"kinds", "unit"},
    "photos": {"file"},
}
CONTROL = "control.html"
"""A page on which a payload does run, so that we know we would notice."""
A_MOMENT_MS = 20
SETTINGS = ("name", "licence", "disclosure", "notice")


@dataclass
class Round:
    """What one bench of payloads came to."""

    planted: int = 0
    refused: int = 0
    pages: int = 0
    wrong: list[str] = field(default_factory=list)


def study(most: int = len(PAYLOADS)) -> Iterator[tuple[str, str]]:
    """Plant so many payloads, each in every free text.

    Raises
    ------
    AssertionError
        With the first thing that ran, or was asked for elsewhere, and its page.
    """
    rounds = []
    with TemporaryDirectory() as folder, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=_chromium(), args=["--no-sandbox"])
        for first in range(most):
            place = Path(folder) / str(first)
            rounds.append(try_round(place, first, browser))
            shutil.rmtree(place)
        browser.close()
    yield "payloads, each in every free text of a bench", f"{most}"
    yield "cells they stood in; columns in which one was refused when read", _counts(rounds)
    yield "pages opened, half of them with the policy bypassed", f"{sum(r.pages for r in rounds):,}"
    yield "dialogs, foreign elements, requests, errors in the console", "0"


def try_round(place: Path, first: int, browser: Browser) -> Round:
    """Build the bench of one round and open all its pages.

    Raises
    ------
    AssertionError
        With what ran.
    """
    bench = Bench(place / "bench")
    shutil.copytree(BASE, bench.root)
    done = Round()
    plant(bench, first, done)
    build(Order(bench, AS_OF, place / "out", (Output.SITE,), lambda _: None))
    site = place / "out" / "site"
    (site / CONTROL).write_text(f"<img src=x onerror='{RUN}'>", encoding="utf-8")
    with (
        served(site) as address,
        browser.new_context() as policed,
        browser.new_context(bypass_csp=True) as bypassed,
    ):
        windows = (_listened(policed, address, done), _listened(bypassed, address, done))
        for i, file in enumerate(sorted(site.rglob("*.html"))):
            _open(windows[(i + first) % 2], address + file.relative_to(site).as_posix(), done)
    escaped = [words for words in done.wrong if CONTROL not in words]
    assert not escaped, f"round {first}: {escaped[:5]}"
    assert done.wrong, "what runs on a page that lets it run was not noticed"
    return done


def plant(bench: Bench, first: int, done: Round) -> None:
    """Put payloads into every free text; where intake refuses one, its column stays as it was."""
    tables = {file: file.read_text("utf-8") for file in sorted(bench.data.rglob("*.csv"))}
    methods = {file: file.read_text("utf-8") for file in sorted(bench.data.rglob("*.md"))}
    settings = bench.settings_file.read_text("utf-8")
    refused = set[tuple[str, str | None]]()
    while True:
        done.planted = 0
        _plant_settings(bench, settings, first, {column for _, column in refused})
        for i, (file, text) in enumerate(methods.items()):
            payload = PAYLOADS[(first + 3 * i) % len(PAYLOADS)]
            is_refused = (bench.name_of(file), None) in refused
            file.write_text(text if is_refused else f"{text}\n\n{payload}\n", encoding="utf-8")
        for file, text in tables.items():
            columns = {column for name, column in refused if name == bench.name_of(file)}
            done.planted += _plant_table(file, text, first, columns)
        faults = {(fault.file, fault.column): fault.text for fault in _faults(bench)}
        if not faults:
            break
        assert faults.keys() - refused, f"round {first}: {faults}"
        refused |= faults.keys()
    done.refused = len(refused)


def _plant_table(file: Path, text: str, first: int, refused: Collection[str | None]) -> int:
    """Plant payloads in one file; in how many cells."""
    rows = list(csv.DictReader(io.StringIO(text)))
    columns = [
        column
        for column in free_columns(file.stem)
        if rows and column in rows[0] and not {column, None} & set(refused)
    ]
    for i, row in enumerate(rows):
        for j, column in enumerate(columns):
            if column == "reason" and not row[column]:
                continue  # only a void run has one
            row[column] = PAYLOADS[(first + 7 * i + j) % len(PAYLOADS)]
    if rows:
        with file.open("w", encoding="utf-8", newline="") as stream:
            writer = csv.DictWriter(stream, list(rows[0]), lineterminator="\n")
            writer.writeheader()
            writer.writerows(rows)
    return len(rows) * len(columns)


@cache
def free_columns(table: str) -> tuple[str, ...]:
    """The columns of a table that hold any text at all."""
    fields = json.loads(read_schema_text(table))["fields"]
    return tuple(
        column["name"]
        for column in fields
        if column["type"] == "string"
        and not column.get("constraints", {}).keys() & {"pattern", "enum"}
        and column["name"] not in KEPT.get(table, ())
    )


def _plant_settings(bench: Bench, text: str, first: int, refused: Collection[str | None]) -> None:
    """Texts of bench.toml; a setting that is refused stays as it was, or is left out."""
    planted = {
        key: PAYLOADS[(first + i) % len(PAYLOADS)][:400].replace("\n", " ")
        for i, key in enumerate(SETTINGS)
        if key not in refused
    }
    lines = [line for line in text.splitlines() if line.partition(" =")[0] not in planted]
    lines += [f"{key} = {json.dumps(said, ensure_ascii=False)}" for key, said in planted.items()]
    bench.settings_file.write_text("\n".join(lines) + "\n", encoding="utf-8")


def _faults(bench: Bench) -> Sequence[Finding]:
    try:
        read_bench(bench, AS_OF)
    except FaultyBenchError as error:
        return [found for found in error.findings if found.severity is Severity.ERROR]
    return ()


def _listened(context: BrowserContext, address: str, done: Round) -> Page:
    """A window in which whatever runs or is asked for elsewhere is noted."""
    page = context.new_page()

    def note(words: str) -> None:
        done.wrong.append(f"{page.url}: {words}")

    def dismiss(dialog: Dialog) -> None:
        note("a dialog")
        dialog.dismiss()

    def hear(said: ConsoleMessage) -> None:
        if said.type == "error":
            note(said.text)

    def ask(asked: Request) -> None:
        if asked.url.startswith("http") and not asked.url.startswith(address):
            note(f"asked for {asked.url}")

    page.on("dialog", dismiss)
    page.on("pageerror", lambda error: note(str(error)))
    page.on("console", hear)
    page.on("request", ask)
    return page


def _open(page: Page, url: str, done: Round) -> None:
    """Load a page, and give what would run a moment to do so."""
    page.goto(url, wait_until="load")
    page.wait_for_timeout(A_MOMENT_MS)
    if page.evaluate("window.ranHere"):
        done.wrong.append(f"{url}: ran")
    if found := page.locator(INJECTED).count():
        done.wrong.append(f"{url}: {found} foreign elements")
    done.pages += 1


def _counts(rounds: Sequence[Round]) -> str:
    planted, refused = sum(r.planted for r in rounds), sum(r.refused for r in rounds)
    return f"{planted:,}; {refused:,}"


def _chromium() -> str:
    found = shutil.which("chromium-headless-shell") or shutil.which("chromium")
    assert found, "Chromium is not installed"
    return found
