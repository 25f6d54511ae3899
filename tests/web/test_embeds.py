"""Charts shown by other sites: alone, in a sandboxed frame of another origin, and as a picture."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from html import unescape
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import Page, expect

from web.barriers import ALL_RULES, RULES_OF_LOOK, barriers
from web.conftest import OpenPage, Reader
from web.serving import origin
from web.test_built_pages import open_everything

BASE = "https://example.org/trialpress-demo/"  # base_url of the demo's bench.toml
KINDS = (
    "standings-carpet-v1",
    "overall",
    "machine-kelbrin-14",
    "maker-taldure",
    "watch-carpet-v1-hofta-310-reference-carpet-slate",
)
MOST_PREVIEWS = 130  # one for each page that readers share


@pytest.fixture
def foreign_page(reader: Reader) -> Iterator[Page]:
    """A page whose console may only show what the driver's own looks into the frame are denied."""
    errors: list[str] = []
    with reader.context.new_page() as page:
        page.set_viewport_size({"width": 700, "height": 900})
        page.set_default_timeout(10_000)
        page.on("console", lambda said: errors.append(said.text) if said.type == "error" else None)
        yield page
    assert [error for error in errors if "Blocked script execution" not in error] == []


def snippet_on(page_file: Path) -> str:
    """What a reader copies from the page of a chart."""
    found = re.search(r"<textarea[^>]*>(.*?)</textarea>", page_file.read_text(encoding="utf-8"))
    assert found
    return unescape(found[1])


def size_of(file: Path) -> tuple[int, int]:
    with Image.open(file) as picture:
        return picture.size


def test_every_chart_of_the_site_has_a_small_page_of_its_own(built_site: Path) -> None:
    named = re.compile(r'data-(?:chart|strips)="([\w-]+)"')
    shown = {
        name
        for file in built_site.rglob("*.html")
        for name in named.findall(file.read_text(encoding="utf-8"))
    }

    assert len(shown) > 50
    assert {file.stem for file in (built_site / "embed").glob("*.html")} == shown


@pytest.mark.parametrize("kind", KINDS)
def test_an_embed_fits_any_frame_and_has_no_barrier(
    kind: str, built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(built_site / "embed" / f"{kind}.html", width=1000)
    open_everything(page)

    for width in (1000, 640, 320):
        page.set_viewport_size({"width": width, "height": 900})
        page.emulate_media(color_scheme="dark" if width == 320 else "light")
        assert page.evaluate("document.documentElement.scrollWidth") == width
        assert page.locator(":is(.wide, .narrow, .strips):visible").count() == 1
        assert page.locator("table tbody tr").count() > 0
        assert barriers(page, ALL_RULES if width == 1000 else RULES_OF_LOOK) == []


@pytest.mark.parametrize("kind", KINDS)
def test_an_embed_says_what_it_is_and_where_it_comes_from(
    kind: str, built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(built_site / "embed" / f"{kind}.html", scripts=False)
    back = page.locator(".source a")
    href = str(back.get_attribute("href")).partition("#")[0]

    assert page.locator("h1").inner_text()
    assert "Invented data" in page.locator("main").inner_text()
    assert (built_site / "embed" / href).resolve().is_file()
    assert page.locator("nav, form, script[src]").count() == 0


def test_the_snippet_shows_the_chart_on_another_site(
    built_site: Path, tmp_path: Path, foreign_page: Page
) -> None:
    page = foreign_page
    snippet = snippet_on(built_site / "standings" / "carpet.html")
    assert snippet.startswith(f'<iframe src="{BASE}embed/standings-carpet-v1.html"')
    assert 'sandbox="allow-popups allow-popups-to-escape-sandbox"' in snippet
    with origin(built_site) as ours, origin(tmp_path) as theirs:
        there = f"<!doctype html><title>Blog</title><body>{snippet.replace(BASE, ours)}</body>"
        (tmp_path / "post.html").write_text(there, encoding="utf-8")
        (tmp_path / "favicon.ico").write_bytes(b"")

        page.goto(f"{theirs}post.html")
        frame = page.frame_locator("iframe")

        # before the style has come, the wide and the narrow picture are both there
        expect(frame.locator("svg[role=img]:visible")).to_have_count(1)
        assert frame.locator("h1").inner_text() == "Dust on loop carpet: values and places"
        paper = frame.locator("body").evaluate("body => getComputedStyle(body).backgroundColor")
        assert paper == "rgb(246, 247, 241)"  # `paper` of the light theme: its style has arrived
        frame.locator("summary").click()
        assert frame.locator("tbody tr").first.is_visible()
        with page.expect_popup() as opened:
            frame.locator(".source a").click()
        opened.value.wait_for_load_state()
        assert opened.value.url == f"{ours}standings/carpet.html"
        assert opened.value.evaluate("window.origin") == ours.rstrip("/")  # out of the sandbox


def test_a_page_with_a_chart_leads_programs_to_its_oembed_file(built_site: Path) -> None:
    # oembed.com 1.0: type rich needs html, width and height; discovery by a link in the head
    text = (built_site / "standings" / "carpet.html").read_text(encoding="utf-8")
    found = re.search(r'type="application/json\+oembed"[^>]*href="([^"]+)"', text)
    assert found
    assert found[1].startswith(BASE)

    told = json.loads((built_site / found[1].removeprefix(BASE)).read_text(encoding="utf-8"))

    assert (told["version"], told["type"]) == ("1.0", "rich")
    assert told["html"] == snippet_on(built_site / "standings" / "carpet.html")
    assert told["width"] > 0
    assert f'height="{told["height"]}"' in told["html"]
    assert told["provider_url"] == BASE
    assert (built_site / told["thumbnail_url"].removeprefix(BASE)).is_file()


def test_every_oembed_file_is_of_a_small_page(built_site: Path) -> None:
    folder = built_site / "embed"

    assert {f.stem for f in folder.glob("*.json")} == {f.stem for f in folder.glob("*.html")}


def test_every_page_names_a_preview_that_is_there_with_its_size_and_words(
    built_site: Path,
) -> None:
    told = re.compile(r'<meta property="og:([\w:]+)" content="([^"]*)">')
    sizes = {file.name: size_of(file) for file in (built_site / "previews").glob("*.png")}
    wrong = []
    for file in sorted(built_site.rglob("*.html")):
        said = dict(told.findall(file.read_text(encoding="utf-8")))
        folder, _, picture = said["image"].rpartition("/")
        size = (int(said["image:width"]), int(said["image:height"]))
        words = [said[name] for name in ("image:alt", "title", "description")]
        is_right = folder == f"{BASE}previews" and sizes.get(picture) == size and all(words)
        wrong += [] if is_right and said["url"].startswith(BASE) else [file.name]

    assert wrong == []


def test_previews_are_few_small_and_all_different(built_site: Path) -> None:
    pictures = [file.read_bytes() for file in (built_site / "previews").glob("*.png")]

    assert 10 < len(pictures) <= MOST_PREVIEWS
    assert max(map(len, pictures)) < 40_000
    assert len(set(pictures)) == len(pictures)
