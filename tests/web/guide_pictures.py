"""The pictures of the guide, taken of the pages as they are now.

In:  the demo bench and an empty one, in a temporary folder; Chromium.
Out: ``guide/pictures/*.png``, or an end with the first words that a page no longer shows.

Run as ``make guide``.
"""

from __future__ import annotations

import io
import os
import shutil
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory

from PIL import Image
from playwright.sync_api import Browser, expect, sync_playwright

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "tests"))  # so that `web` is found as a script

from typed import trialpress  # noqa: E402
from web.conftest import ARGUMENTS, PROGRAMS  # noqa: E402
from web.previews import looking_preview  # noqa: E402

FOLDER = ROOT / "guide" / "pictures"
AS_OF = date(2026, 11, 20)
SIZE = (960, 720)
COLOURS = 64
A_MOMENT_MS = 700  # streams of events never end, so there is no end of loading to wait for


@dataclass(frozen=True)
class Picture:
    """One page as a reader of the guide sees it; ``words`` have to be on it."""

    name: str
    address: str
    words: Sequence[str]


def main() -> None:
    """Take every picture anew."""
    FOLDER.mkdir(exist_ok=True)
    program = next(path for path in map(shutil.which, PROGRAMS) if path)
    with TemporaryDirectory() as folder, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, args=ARGUMENTS)
        os.environ["XDG_CACHE_HOME"] = f"{folder}/cache"  # as the tests have one of their own
        for picture in pictures(Path(folder)):
            _take(browser, picture)
        browser.close()


def pictures(folder: Path) -> Iterator[Picture]:
    """Every picture, while what it shows is there to be seen."""
    _typed("new", "bench", folder=folder)
    with looking_preview(folder / "bench", AS_OF) as sheet:
        yield Picture("empty-sheet", sheet, ("Bench sheet", "There is no set-up to run yet"))
    with looking_preview(folder / "bench", AS_OF) as sheet:
        forms = sheet.replace("/sheet", "/catalogue")
        yield Picture("catalogue", forms, ("A new maker", "Keep this row", "Set-ups"))
    with looking_preview(folder / "bench", AS_OF) as sheet:
        old = sheet.replace("/sheet", "/adopting")
        yield Picture("adopting", old, ("Old spreadsheet",))
    demo = folder / "demo"
    shutil.copytree(ROOT / "data", demo / "data")
    _typed("plan", "--protocol", "deep-rug", "--sheet", "2026-11-21-hall", folder=demo)
    with looking_preview(demo, AS_OF) as sheet:
        yield Picture("sheet", sheet, ("Next run", "Cautions", "Keep this run"))
    _typed("build", "--as-of", AS_OF.isoformat(), "--only", "site", folder=demo)
    yield Picture("site", (demo / "build/site/index.html").as_uri(), ("invented",))
    kit = ("aluen-6-bristle", "--against", "aluen-6-roller", "--protocols", "deep-rug")
    _typed("kit", *kit, "--as-of", AS_OF.isoformat(), folder=demo)
    contact = demo / "build/kit/aluen-6-bristle/index.html"
    yield Picture("kit", contact.as_uri(), ("Aluen",))


def _typed(*words: str, folder: Path) -> None:
    done = trialpress(*words, folder=folder)
    if done.returncode:
        sys.exit(f"trialpress {' '.join(words)}:\n{done.stdout}{done.stderr}")


def _take(browser: Browser, picture: Picture) -> None:
    width, height = SIZE
    page = browser.new_page(viewport={"width": width, "height": height})
    page.goto(picture.address)
    page.reload()  # with the faces that came too late for the first view
    for words in picture.words:
        expect(page.get_by_text(words).first).to_be_visible()
    page.evaluate("document.fonts.ready")
    page.wait_for_timeout(A_MOMENT_MS)
    shot = Image.open(io.BytesIO(page.screenshot()))
    page.close()
    small = shot.convert("RGB").quantize(COLOURS, dither=Image.Dither.NONE)
    small.save(FOLDER / f"{picture.name}.png", optimize=True)


if __name__ == "__main__":
    main()
