"""The demo in the German that comes with the package: a page of each kind.

The pages are made from the demo as it is built for all tests, without its charts, so that no second
build is needed to read them.
"""

from __future__ import annotations

import re
import shutil
from dataclasses import dataclass, replace
from pathlib import Path

import duckdb
import pytest
from babel.messages.pofile import read_po

from demo_build import AS_OF, ROOT
from trialpress.bench import Bench
from trialpress.charts import Charts, shipped_templates
from trialpress.intake.settings import read_settings
from trialpress.site.page_list import pages_of
from trialpress.site.photos import PhotoFile
from trialpress.site.source import ColumnWords, SiteSource
from trialpress.site.templates import Templates, render
from trialpress.store import Store
from trialpress.view import View
from trialpress.words import speaking
from trialpress.words.catalogue import language_script, read_language, shipped_translation
from web.barriers import ALL_RULES, barriers
from web.conftest import OpenPage
from web.texts import texts_of

FILLED_IN = re.compile(r"\{\w*\}|%\(\w+\)s|%%|<[^>]*>|&\w+;")
FEWEST_WORDS = 4  # fewer in a row may be the bench's own words as well


@dataclass(frozen=True)
class Archive:
    name: str = "trialpress-dataset.zip"
    size_bytes: int = 12_400
    description: str = ""
    columns: tuple[ColumnWords, ...] = ()
    key: tuple[str, ...] = ()


@pytest.fixture(scope="module")
def german(built_demo: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a page of each kind, its styles and its scripts."""
    folder = tmp_path_factory.mktemp("german")
    language, faults = read_language("de", b"", shipped_translation("de"))
    settings = read_settings(Bench(ROOT)).settings
    assert language is not None, faults
    assert settings is not None
    store_file = str(built_demo / "store.duckdb")
    with speaking(language), duckdb.connect(store_file, read_only=True) as connection:
        view = View(Store(connection, replace(settings, language="de"), AS_OF, {}))
        source = SiteSource(
            view=view,
            charts=Charts({}, None, {}, {}, {}),
            listing=lambda: (Archive(),),
            photos={one.photo: PhotoFile("static/favicon.svg", 1, 1) for one in view.photos},
        )
        for page in {type(one): one for one in pages_of(source)}.values():
            file = folder / page.frame.url
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_bytes(render(Templates(), page))
        shutil.copytree(built_demo / "site" / "static", folder / "static")
        script = language_script([shipped_templates()])
    (folder / "static" / "language.js").write_text(script, "utf-8")
    return folder


def english_runs() -> set[str]:
    """What stands in English texts between what is filled in, where it is long enough."""
    file = shipped_translation("de")
    assert file is not None
    with file.open("rb") as opened:
        texts = [one for one in read_po(opened) if one.id]
    forms = {
        form for one in texts for form in ((one.id,) if isinstance(one.id, str) else tuple(one.id))
    }
    parts = (FILLED_IN.split(form) for form in forms)
    plain = (" ".join(part.split()) for split in parts for part in split)
    return {part for part in plain if part.count(" ") >= FEWEST_WORDS - 1}


def test_no_english_sentence_is_left_on_a_page(german: Path) -> None:
    english = english_runs()

    left = {
        f"{file.relative_to(german)}: {part}"
        for file in german.rglob("*.html")
        for said in [" ".join(" ".join(texts_of(file)).split())]
        for part in english
        if part in said
    }

    assert "\n".join(sorted(left)) == ""


def test_every_page_is_marked_as_german_and_writes_figures_as_germans_do(german: Path) -> None:
    pages = {file: file.read_text("utf-8") for file in german.rglob("*.html")}
    home, overall = pages[german / "index.html"], pages[german / "overall.html"]

    assert all('<html lang="de"' in text for text in pages.values())
    assert re.search(r"Was <span class=\"figure\">\d\.\d{3}</span> Durchgänge", home)
    assert re.search(r"\d,\d\d bis \d+,\d\d", overall)


def test_longer_words_fit_a_telephone_and_axe_finds_nothing(
    german: Path, open_page: OpenPage
) -> None:
    page = open_page(german / "index.html", width=390)

    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert barriers(page, ALL_RULES) == []
