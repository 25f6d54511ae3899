"""A build with what was kept is that of a new start by a cluster, whatever was changed between."""

from __future__ import annotations

import random
from datetime import date
from pathlib import Path

import pytest

from examples import examples
from flow.benches import copy_of_small_bench, files_below
from trialpress.bench import Bench
from trialpress.cache import Cache
from trialpress.cluster import cluster
from trialpress.flow import Order, Output, build
from trialpress.products import Products
from trialpress.site import MadePage, PageInView

AS_OF = date(2031, 6, 1)
IN_VIEW = "machines/stick-one.html"
ROUNDS = examples(1)  # `make audit` asks for more


def built(bench: Path, out: Path, kept: Path) -> dict[str, bytes]:
    return built_by(Products(Cache(kept)), bench, out)


def built_by(products: Products, bench: Path, out: Path) -> dict[str, bytes]:
    """What is built; the page in view is made first, and is the one that is written."""
    shown: list[MadePage] = []
    in_view, site = PageInView(IN_VIEW, shown.append), (Output.SITE,)
    build(Order(Bench(bench), AS_OF, out, site, lambda _: None, (), products, in_view))
    files = files_below(out)
    assert shown in ([], [MadePage(IN_VIEW, files[f"site/{IN_VIEW}"])])
    return files


def edit_reading(bench: Path, chance: random.Random) -> None:
    """Another last digit somewhere, or a row less."""
    tables = sorted((bench / "data" / "days").glob("*/*.csv"))
    table = chance.choice([table for table in tables if table.stem in {"weighings", "values"}])
    lines = table.read_text("utf-8").splitlines(keepends=True)
    at = chance.randrange(1, len(lines))
    cells = lines[at].split(",")
    decimals = [number for number, cell in enumerate(cells) if "." in cell and cell[0].isdigit()]
    if decimals:
        column = chance.choice(decimals)
        cells[column] = cells[column][:-1] + chance.choice("0123456789")
        lines[at] = ",".join(cells)
    table.write_text("".join(lines), "utf-8")


def edit_words(bench: Path, chance: random.Random) -> None:
    settings = bench / "data" / "bench.toml"
    text = settings.read_text("utf-8")
    settings.write_text(text.replace('name = "', f'name = "{chance.choice("ABC")} ', 1), "utf-8")


def edit_template(bench: Path, chance: random.Random) -> None:
    own = bench / "site_templates" / "partials" / "sentences.html"
    own.parent.mkdir(parents=True, exist_ok=True)
    said = f"{{% macro in_words(sentences, more=none) %}}<p>{chance.random()}</p>{{% endmacro %}}"
    own.write_text(said, "utf-8")


def damage_kept(kept: Path, chance: random.Random) -> None:
    """Cut, change or lose some of what is kept."""
    for file in sorted(path for path in kept.rglob("*") if path.is_file()):
        content = file.read_bytes()
        match chance.randrange(6):
            case 0:
                file.write_bytes(content[: chance.randrange(len(content))])
            case 1:
                file.write_bytes(content[:-1] + bytes([content[-1] ^ 1]))
            case 2:
                file.unlink()


def inodes(out: Path) -> dict[str, int]:
    return {name: (out / name).stat().st_ino for name in files_below(out)}


@pytest.mark.dear
def test_a_rebuild_is_a_cold_build_and_writes_only_what_changed(
    tmp_path: Path, scheduler: str
) -> None:
    chance = random.Random(20310601)  # noqa: S311  no secret
    bench, out, kept = copy_of_small_bench(tmp_path / "bench"), tmp_path / "out", tmp_path / "kept"
    before, places = built(bench, out, kept), inodes(out)

    assert built(bench, out, kept) == before
    assert inodes(out) == places  # nothing was written

    for number in range(ROUNDS):
        for edit in (edit_reading, edit_words, edit_template):
            edit(bench, chance)
        damage_kept(kept, chance)

        now = built(bench, out, kept)

        with cluster(Cache(tmp_path / f"nothing-{number}"), scheduler) as products:
            cold = built_by(products, bench, tmp_path / f"cold-{number}")
        assert sorted(now) == sorted(cold)
        assert [name for name in cold if now[name] != cold[name]] == []
        changed = {name for name in now if now[name] != before.get(name)} | {"report.json"}
        assert {name for name, at in inodes(out).items() if at != places.get(name)} == changed
        assert all((out / name).stat().st_nlink == 1 for name in now)
        before, places = now, inodes(out)

    (out / "site" / "index.html").write_text("mine", "utf-8")
    (out / "site" / "stray.html").write_text("mine", "utf-8")
    assert built(bench, out, kept) == before
