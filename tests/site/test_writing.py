"""The written site of the small bench."""

from __future__ import annotations

import re
import sys
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Protocol
from urllib.parse import urljoin

import pytest

from trialpress.bench import Bench
from trialpress.site import templates
from trialpress.site.head import with_head
from trialpress.site.pages.search import not_found_page
from trialpress.site.source import SiteSource
from trialpress.site.templates import (
    OwnTemplateError,
    Templates,
    environment,
    own_templates,
    render,
)
from trialpress.view import View


class WriteSite(Protocol):
    def __call__(self, as_of: date = ...) -> Path: ...


def change(file: Path, old: str, new: str) -> None:
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new), encoding="utf-8")


def texts(folder: Path) -> dict[str, str]:
    return {
        file.relative_to(folder).as_posix(): file.read_text(encoding="utf-8")
        for file in sorted(folder.rglob("*"))
        if file.suffix in {".html", ".js", ".css"}
    }


def test_typed_text_is_shown_and_never_run(bench: Bench, write: WriteSite) -> None:
    change(bench.catalogue / "machines.csv", "Stick One", "<b>Stick</b> & One")

    page = (write() / "machines" / "stick-one.html").read_text(encoding="utf-8")

    assert "<h1>&lt;b&gt;Stick&lt;/b&gt; &amp; One</h1>" in page
    assert "<b>Stick" not in page


def test_a_template_of_the_bench_wins_over_the_shipped_one(bench: Bench, write: WriteSite) -> None:
    own = bench.own_templates / "pages" / "not_found.html"
    own.parent.mkdir(parents=True)
    own.write_text('{% extends "base.html" %}{% block main %}<h1>Gone</h1>{% endblock %}')
    style = bench.own_templates / "static" / "site.css"
    style.parent.mkdir(parents=True)
    style.write_text("body { color: black; }")

    folder = write()

    assert "<h1>Gone</h1>" in (folder / "404.html").read_text(encoding="utf-8")
    assert (folder / "static" / "site.css").read_text() == "body { color: black; }"
    assert (folder / "static" / "favicon.svg").is_file()
    assert "A Small Bench" in (folder / "index.html").read_text(encoding="utf-8")
    change(own, "Gone", "Left")
    assert "<h1>Left</h1>" in (write(date(2031, 6, 2)) / "404.html").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    "text",
    [
        "{{ page.frame.title.__class__.__mro__ }}",
        "{{ page.frame.title.upper() }}",
        "{{ page.__reduce__() }}",
        "{{ self._TemplateReference__context }}",
        "{{ ''.join.__globals__ }}",
        "{% for i in range(10000000) %}{% endfor %}",
        "{{ 1 / 0 }}",
        "{% include '../../data/bench.toml' %}",
        "{% nonsense %}",
    ],
)
def test_a_template_from_somebody_else_reads_the_page_and_nothing_more(
    text: str, bench: Bench, source: SiteSource
) -> None:
    """The ways out that are commonly tried on Jinja's sandbox; common practice, no source."""
    own = bench.own_templates / "pages" / "not_found.html"
    own.parent.mkdir(parents=True)
    own.write_text(text, "utf-8")

    with pytest.raises(OwnTemplateError, match=r"not_found\.html"):
        render(own_templates(bench), with_head(source, not_found_page(source)))


def test_a_template_that_is_trusted_may_call_what_it_likes(
    bench: Bench, source: SiteSource
) -> None:
    own = bench.own_templates / "pages" / "not_found.html"
    own.parent.mkdir(parents=True)
    own.write_text("{{ page.frame.title.upper() }}", "utf-8")
    trusted = own_templates(replace(bench, trusts_templates=True))

    assert render(trusted, with_head(source, not_found_page(source))).isupper()


@pytest.mark.parametrize("base_url", ["https://b.example/", "https://b.example/own/path/"])
def test_the_page_for_a_missing_address_finds_its_style_at_any_depth(
    base_url: str, source: SiteSource
) -> None:
    """RFC 3986, 5.2: an address that begins with / is the same from every page of a host."""
    settings = replace(source.view.settings, base_url=base_url)
    there = replace(source, view=View(replace(source.view.store, settings=settings)))

    text = render(Templates(), with_head(there, not_found_page(there))).decode()

    found = {urljoin(f"{base_url}a/b/c.html", address)
             for address in re.findall(r'(?:href|src|action)="([^"#]+)', text)}  # fmt: skip
    ours = {address for address in found if address.startswith(base_url)}
    assert f"{base_url}static/site.css" in ours
    assert {address for address in ours if "/a/b/" in address} == set()
    assert found - ours == set()


def test_nothing_hidden_is_in_any_file(write: WriteSite) -> None:
    # two-stock, and with it robot-two and Maker Two, are under embargo until 1 June 2031
    hidden = texts(write(date(2031, 5, 31)))
    shown = texts(write(date(2031, 6, 1)))

    secrets = ("two-stock", "robot-two", "Robot Two", "maker-two", "Maker Two")
    assert [(name, s) for name, text in hidden.items() for s in secrets if s in text] == []
    assert not [name for name in hidden if "two" in name]
    assert all(any(secret in text for text in shown.values()) for secret in secrets)


def test_the_notice_of_the_bench_is_on_every_page(bench: Bench, write: WriteSite) -> None:
    settings = bench.settings_file.read_text(encoding="utf-8")
    bench.settings_file.write_text(settings + 'notice = "All of it is <invented>."\n')

    pages = [text for name, text in texts(write()).items() if name.endswith(".html")]

    assert len(pages) > 20
    assert all("All of it is &lt;invented&gt;." in page for page in pages)


def test_twice_written_is_the_same_bytes(write: WriteSite, tmp_path: Path) -> None:
    first = write()
    moved = first.rename(tmp_path / "elsewhere")
    second = write()

    names = sorted(f.relative_to(moved) for f in moved.rglob("*") if f.is_file())
    assert names == sorted(f.relative_to(second) for f in second.rglob("*") if f.is_file())
    assert [n for n in names if (moved / n).read_bytes() != (second / n).read_bytes()] == []
    assert not [name for name, text in texts(second).items() if str(tmp_path) in text]


def test_only_visible_photos_are_published(write: WriteSite) -> None:
    folder = write()

    # photos.csv of the small bench has one line, for a run of the visible set-up
    assert [file.name for file in (folder / "photos").iterdir()] == ["hall-01-after.jpg"]


def test_what_developers_need_of_the_chart_runtime_is_not_published(write: WriteSite) -> None:
    folder = write()

    assert (folder / "static" / "vendor" / "LICENCES.txt").is_file()
    assert not list(folder.rglob("package-lock.json"))


def test_shipped_templates_are_compiled_once_and_those_of_a_bench_every_time(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Once for benches without templates of their own, and once, guarded, for those with some."""
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    monkeypatch.setattr(templates, "COMPILED", tmp_path)
    shipped, own = Templates(), Templates((("pages/about.html", "mine"),))

    def compiled(texts: Templates, name: str) -> dict[str, int]:
        environment.__wrapped__(texts).get_template(name)
        return {file.name: file.stat().st_mtime_ns for file in tmp_path.iterdir()}

    assert compiled(own, "pages/about.html") == {}
    guarded = compiled(own, "pages/home.html")
    both = compiled(shipped, "pages/home.html")

    assert (len(guarded), len(both)) == (1, 2)
    assert compiled(own, "pages/home.html") == compiled(shipped, "pages/home.html") == both
    assert environment.__wrapped__(own).get_template("pages/about.html").render() == "mine"


def test_templates_are_used_where_nothing_can_be_written_beside_them(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    monkeypatch.setattr(templates, "COMPILED", tmp_path / "not-there")

    assert environment.__wrapped__(Templates()).get_template("pages/home.html").name
    assert not list(tmp_path.iterdir())
