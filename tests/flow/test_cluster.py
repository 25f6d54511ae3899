"""A build with what was kept is that of a new start, whatever was changed between.

What is made anew is made by a cluster too: a real one of two workers, of which one that is killed
costs time, no page.
"""

from __future__ import annotations

import random
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from examples import examples
from flow.benches import copy_of_small_bench, files_below
from flow.on_workers import ends_a_worker, made_by
from trialpress import cluster as clusters
from trialpress.bench import Bench
from trialpress.cache import Cache
from trialpress.cluster import ClusterError, NoClusterError, cluster
from trialpress.flow import Order, Output, build
from trialpress.products import Products
from trialpress.site import MadePage, PageInView

AS_OF = date(2031, 6, 1)
IN_VIEW = "machines/stick-one.html"
ROUNDS = examples(1)  # `make audit` asks for more
SOME = examples(4)  # pages, and as many pictures, that the cluster makes too

NOTHING_KEPT = Cache(Path("/dev/null"))
Asked = tuple[Callable[[Any], bytes], Sequence[Any], list[bytes]]


@dataclass(frozen=True)
class Noting(Products):
    """Makes products, and notes what was asked for and what was made."""

    asked: list[Asked] = field(default_factory=list)

    def make(
        self, function: Callable[[Any], bytes], orders: Sequence[Any], *, each_s: float
    ) -> list[bytes]:
        made = super().make(function, orders, each_s=each_s)
        self.asked.append((function, orders, made))
        return made


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

        here = Noting(Cache(tmp_path / f"nothing-{number}"))
        cold = built_by(here, bench, tmp_path / f"cold-{number}")
        with cluster(NOTHING_KEPT, scheduler) as there:
            for function, orders, made in here.asked:
                assert there.make(function, orders[:SOME], each_s=9.0) == made[:SOME]
        assert sorted(now) == sorted(cold)
        assert [name for name in cold if now[name] != cold[name]] == []
        changed = {name for name in now if now[name] != before.get(name)} | {"report.json"}
        assert {name for name, at in inodes(out).items() if at != places.get(name)} == changed
        assert all((out / name).stat().st_nlink == 1 for name in now)
        before, places = now, inodes(out)

    (out / "site" / "index.html").write_text("mine", "utf-8")
    (out / "site" / "stray.html").write_text("mine", "utf-8")
    assert built(bench, out, kept) == before


def test_the_workers_of_a_cluster_make_products(scheduler: str) -> None:
    with cluster(NOTHING_KEPT, scheduler) as products:
        assert products.make(made_by, ["a", "b"], each_s=0.001) == [b"a there", b"b there"]
        assert products.workers == 2


def test_what_a_killed_worker_had_is_made_here(scheduler: str) -> None:
    with cluster(NOTHING_KEPT, scheduler) as products:
        made = products.make(ends_a_worker, list("abcdefgh"), each_s=0.001)

    assert [product[:1] for product in made] == [name.encode() for name in "abcdefgh"]
    assert made[3] == b"d here"


def test_a_worker_with_another_program_makes_nothing(
    scheduler: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(clusters, "program_digest", lambda: b"of another version")
    with (
        cluster(NOTHING_KEPT, scheduler) as products,
        pytest.raises(ClusterError, match=r"The worker at tcp://\S+ has another Trialpress"),
    ):
        products.make(made_by, ["a"], each_s=0.001)


@pytest.mark.parametrize("address", ["nonsense", "127.0.0.1:8786", "foo://127.0.0.1:1", "tcp://a"])
def test_an_address_without_a_form_is_refused(address: str) -> None:
    with pytest.raises(NoClusterError, match="looks like tcp://"), cluster(NOTHING_KEPT, address):
        pass


def test_a_scheduler_that_does_not_answer_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(clusters, "LONGEST_S", 0.1)
    with (
        pytest.raises(ClusterError, match=r"No scheduler answers at tcp://127\.0\.0\.1:1\."),
        cluster(NOTHING_KEPT, "tcp://127.0.0.1:1"),
    ):
        pass


def test_missing_libraries_are_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "distributed", None)
    with (
        pytest.raises(NoClusterError, match="needs Dask, the extra “cluster”"),
        cluster(NOTHING_KEPT, "tcp://127.0.0.1:1"),
    ):
        pass
