"""A real browser, and pages that fail their test when the console shows an error.

A refusal by the content security policy and a file that is missing are console errors too.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator, Mapping
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import Protocol

import pytest
from playwright.sync_api import (
    Browser,
    BrowserContext,
    ConsoleMessage,
    Page,
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


@pytest.fixture(scope="session")
def reader(browser: Browser) -> BrowserContext:
    """One reader for all tests; another one costs as much as opening three pages."""
    return browser.new_context()


@pytest.fixture(scope="session")
def reader_without_scripts(browser: Browser) -> BrowserContext:
    """Another one, whose browser runs no scripts."""
    return browser.new_context(java_script_enabled=False)


@pytest.fixture
def open_page(reader: BrowserContext, reader_without_scripts: BrowserContext) -> Iterator[OpenPage]:
    """A way to open pages; no page may have logged an error when the test is over."""
    with opening({True: reader, False: reader_without_scripts}) as open_one:
        yield open_one


@pytest.fixture
def open_first_page(browser: Browser) -> Iterator[OpenPage]:
    """The same for who has never been here: nothing is kept, and the clock may be set."""
    with browser.new_context() as newcomer, opening({True: newcomer}) as open_one:
        yield open_one


@contextmanager
def opening(readers: Mapping[bool, BrowserContext]) -> Iterator[OpenPage]:
    """Open pages for readers with scripts and without; look at last whether any was in error."""
    errors: list[str] = []
    with ExitStack() as opened:

        def open_one(
            target: Path | str,
            *,
            width: int = 1280,
            height: int = 900,
            dark: bool = False,
            scripts: bool = True,
        ) -> Page:
            page = opened.enter_context(readers[scripts].new_page())
            page.set_viewport_size({"width": width, "height": height})
            page.emulate_media(color_scheme="dark" if dark else "light")
            page.set_default_timeout(PATIENCE_MS)
            page.on("console", lambda said: errors.append(said.text) if is_error(said) else None)
            page.on("pageerror", lambda error: errors.append(str(error)))
            page.goto(target.as_uri() if isinstance(target, Path) else target)
            return page

        yield open_one
    assert errors == []


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
