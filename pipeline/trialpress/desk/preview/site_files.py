"""Files that the preview serves: the newest site, and the parts of the bench sheet.

In:  the path of an address.
Out: bytes and their type. In pages of the site the live bar is put, which the site itself lacks.
"""

from __future__ import annotations

import posixpath
import re
import time
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import unquote

from trialpress.charts import palette_css, read_theme, shipped_templates
from trialpress.site import MadePage
from trialpress.site.data_scripts import FOLDER as DATA_SCRIPTS
from trialpress.site.templates import STATIC
from trialpress.swap import RETIRED

SHEET_FOLDER = "sheet"
LIVE_TAGS = (
    b'<link rel="stylesheet" href="/sheet/live.css">'
    b'<script src="/sheet/live.js" defer></script></head>'
)
_DATA_ROOT = re.compile(rb'data-root="([^"]+)"')
OLD_BAR = (
    b"</head>",
    b'<meta name="trialpress-preview" content="old"></head>',
)
"""The live bar reads it, and says that what stands here is from before."""
HTML = "text/html; charset=utf-8"
TYPES = {
    ".html": HTML,
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".jpg": "image/jpeg",
    ".woff2": "font/woff2",
    ".csv": "text/csv; charset=utf-8",
    ".md": "text/markdown; charset=utf-8",
    ".txt": "text/plain; charset=utf-8",
    ".xml": "application/xml",
    ".zip": "application/zip",
}
_SWAP_S = 1.0  # where folders cannot be exchanged there is no site for a moment


@dataclass(frozen=True)
class Answer:
    """What goes back for one address."""

    status: int
    content_type: str
    body: bytes


@dataclass(frozen=True)
class Ahead:
    """The page that is made of a site that is being built; ``number`` tells builds apart.

    It comes before that of the last site, as it is what will be written.
    """

    number: int = 0
    page: MadePage | None = None


NOTHING_AHEAD = Ahead()


def site_answer(
    site: Path, target: str, *, is_old: bool = False, ahead: Ahead = NOTHING_AHEAD
) -> Answer:
    """A file of the site; one from before this preview says so, one that is not there waits."""
    file = _inside(site, target)
    if file is None:
        return Answer(404, "text/plain; charset=utf-8", b"There is no such page.\n")
    if ahead.page and file.relative_to(site).as_posix() == ahead.page.url:
        mark = f'<meta name="trialpress-preview" content="ahead {ahead.number}"></head>'
        return _answer(200, file, ahead.page.content.replace(b"</head>", mark.encode(), 1))
    body = _read(site, file) or _before_the_first_build(site, file)
    if body is None and not site.is_dir():
        return Answer(503, HTML, sheet_file("building.html").body)
    if body is not None:
        return _answer(200, file, body.replace(*OLD_BAR, 1) if is_old else body)
    missing = _read(site, site / "404.html") or b"There is no such page.\n"
    return _answer(404, site / "404.html", _at_the_root(missing))


def _at_the_root(page: bytes) -> bytes:
    """The page of missing pages, whose links begin with the site's path where it is published."""
    root = _DATA_ROOT.search(page)
    return page.replace(b'="' + root[1], b'="/') if root and root[1] else page


def site_page(site: Path, target: str) -> str | None:
    """The page that an address of the site shows, as a path below it; None for other files."""
    file = _inside(site, target)
    is_page = file is not None and file.suffix == ".html"
    return file.relative_to(site).as_posix() if file and is_page else None


def is_data(target: str) -> bool:
    """Whether an address is of what scripts of pages ask for when they need it."""
    return target.startswith(f"/{DATA_SCRIPTS}/")


def sheet_file(name: str) -> Answer:
    """One part of the bench sheet."""
    file = shipped_templates() / SHEET_FOLDER / name
    return Answer(200, _type_of(file), file.read_bytes())


def _before_the_first_build(site: Path, file: Path) -> bytes | None:
    """What gives the bench sheet its look while there is no site yet."""
    if site.is_dir() or not file.is_relative_to(site / STATIC):
        return None
    if file.name == "palette.css":
        return palette_css(read_theme()).encode()
    try:
        return (shipped_templates() / file.relative_to(site)).read_bytes()
    except OSError:
        return None


def _answer(status: int, file: Path, body: bytes) -> Answer:
    content_type = _type_of(file)
    if content_type == HTML:
        body = body.replace(b"</head>", LIVE_TAGS, 1)
    return Answer(status, content_type, body)


def _inside(site: Path, target: str) -> Path | None:
    """The file of an address; None where it is none, or would lead out of the site."""
    path = unquote(target.partition("?")[0])
    if "\0" in path or "\\" in path or ".." in path.split("/"):
        return None
    file = site / posixpath.normpath(path).lstrip("/")
    try:
        return file / "index.html" if path.endswith("/") or file.is_dir() else file
    except OSError:  # no file has so long a name
        return None


def _read(site: Path, file: Path) -> bytes | None:
    """A file's content; where the site was put aside for a new one, once that is in its place."""
    aside = site.parent / RETIRED / site.name
    until, is_last_try = time.monotonic() + _SWAP_S, False
    while True:
        try:
            return file.read_bytes()
        except (FileNotFoundError, NotADirectoryError):
            if is_last_try or time.monotonic() > until:
                return None
            is_last_try = not aside.is_dir()  # the new one may have come since
            if not is_last_try:
                time.sleep(0.02)
        except OSError:
            return None


def _type_of(file: Path) -> str:
    return TYPES.get(file.suffix.lower(), "application/octet-stream")
