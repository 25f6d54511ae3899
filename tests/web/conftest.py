"""A real browser, and pages that fail their test when the console shows an error.

A refusal by the content security policy and a file that is missing are console errors too.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator, Mapping
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Protocol

import pytest
from playwright.sync_api import (
    Browser,
    BrowserContext,
    ConsoleMessage,
    Error,
    Locator,
    Page,
    ViewportSize,
    expect,
    sync_playwright,
)

from web.small_site import write_small_site

PROGRAMS = ("chromium-headless-shell", "chromium", "chromium-browser", "google-chrome")
ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


USUAL = ViewportSize(width=1280, height=900)
# Patient enough for a machine that does other work besides.
PATIENCE_MS = 20_000
expect.set_options(timeout=PATIENCE_MS)


class OpenPage(Protocol):
    """Opens a page from disk, or an address, in a window of its own."""

    def __call__(
        self,
        target: Path | str,
        *,
        width: int = 1280,
        height: int = 900,
        dark: bool = False,
        scripts: bool = True,
    ) -> Page: ...


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """The machine's own Chromium, best without windows, or else the one of Playwright."""
    found = [path for path in map(shutil.which, PROGRAMS) if path]
    with sync_playwright() as playwright:
        launched = playwright.chromium.launch(
            executable_path=found[0] if found else None, args=ARGUMENTS
        )
        yield launched
        launched.close()


def is_error(said: ConsoleMessage) -> bool:
    """Whether a page went wrong."""
    return said.type == "error"


@dataclass(frozen=True)
class Reader:
    """A browser of one reader, and the windows that no test has open just now."""

    context: BrowserContext
    comes_again: bool = True
    idle: list[Page] = field(default_factory=list)

    def window(self, target: str) -> Page:
        """A window to open an address in, as one that was never used would open it."""
        page = self.idle.pop() if self.idle else self.context.new_page()
        if page.url.partition("#")[0] == target.partition("#")[0]:
            page.goto("about:blank")  # else the page would only be scrolled
        return page

    def lay_by(self, page: Page) -> None:
        """Keep a window for the next test; a new one costs a third of a page's whole opening.

        A page from disk stays in it until then. One that is served is left, as its server ends.
        """
        if not self.comes_again:
            page.close()
        elif not page.is_closed():
            page.unroute_all(behavior="ignoreErrors")
            page.title()  # what the page logged until now arrives before its answer
            if not page.url.startswith("file:"):
                page.goto("about:blank")
            self.idle.append(page)


@pytest.fixture(scope="session")
def reader(browser: Browser) -> Reader:
    """One reader for all tests; another one costs as much as opening three pages."""
    return Reader(browser.new_context(viewport=USUAL))


@pytest.fixture(scope="session")
def reader_without_scripts(browser: Browser) -> Reader:
    """Another one, whose browser runs no scripts."""
    return Reader(browser.new_context(viewport=USUAL, java_script_enabled=False))


@pytest.fixture
def open_page(reader: Reader, reader_without_scripts: Reader) -> Iterator[OpenPage]:
    """A way to open pages; no page may have logged an error when the test is over."""
    with opening({True: reader, False: reader_without_scripts}) as open_one:
        yield open_one


@pytest.fixture(scope="module")
def open_for_all(reader: Reader, reader_without_scripts: Reader) -> Iterator[OpenPage]:
    """The same for a page that all tests of a module look at, and none of them changes."""
    with opening({True: reader, False: reader_without_scripts}) as open_one:
        yield open_one


@pytest.fixture
def open_first_page(browser: Browser) -> Iterator[OpenPage]:
    """The same for who has never been here: nothing is kept, and the clock may be set."""
    with (
        browser.new_context(viewport=USUAL) as newcomer,
        opening({True: Reader(newcomer, comes_again=False)}) as open_one,
    ):
        yield open_one


@dataclass
class Errors:
    """What went wrong in the windows that are listened to."""

    heard: list[str] = field(default_factory=list)

    def listen_to(self, page: Page) -> None:
        page.on("console", self.hear)
        page.on("pageerror", self.hear_uncaught)

    def leave(self, page: Page) -> None:
        page.remove_listener("console", self.hear)
        page.remove_listener("pageerror", self.hear_uncaught)

    def hear(self, said: ConsoleMessage) -> None:
        if is_error(said):
            self.heard.append(said.text)

    def hear_uncaught(self, error: Error) -> None:
        self.heard.append(str(error))


def attributes(elements: Locator, name: str) -> list[str]:
    """An attribute of every element, read at once; blank where it lacks it."""
    read = "(all, name) => all.map((element) => element.getAttribute(name) ?? '')"
    values: list[str] = elements.evaluate_all(read, name)
    return values


@contextmanager
def opening(readers: Mapping[bool, Reader]) -> Iterator[OpenPage]:
    """Open pages for readers with scripts and without; look at last whether any was in error."""
    errors = Errors()
    with ExitStack() as opened:

        def open_one(
            target: Path | str,
            *,
            width: int = 1280,
            height: int = 900,
            dark: bool = False,
            scripts: bool = True,
        ) -> Page:
            address = target.as_uri() if isinstance(target, Path) else target
            page = readers[scripts].window(address)
            size = ViewportSize(width=width, height=height)
            if page.viewport_size != size:
                page.set_viewport_size(size)
            page.emulate_media(
                media="null",
                color_scheme="dark" if dark else "light",
                reduced_motion="no-preference",
                forced_colors="none",
            )
            page.set_default_timeout(PATIENCE_MS)
            errors.listen_to(page)
            opened.callback(errors.leave, page)
            opened.callback(readers[scripts].lay_by, page)
            page.goto(address)
            return page

        yield open_one
    assert errors.heard == []


@pytest.fixture(scope="session")
def built_site(built_demo: Path) -> Path:
    """The demo bench as it is published: every page, chart, photo and file."""
    return built_demo / "site"


@pytest.fixture(scope="session")
def small_site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Three pages with the site's own scripts; the standing is ``standings/carpet.html``."""
    return write_small_site(tmp_path_factory.mktemp("small-site"))


@pytest.fixture(scope="session")
def small_standing(small_site: Path) -> Path:
    """The page of the small site with filters, a table and a chart."""
    return small_site / "standings" / "carpet.html"
