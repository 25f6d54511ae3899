"""Kits of the small bench: one drawn whole, and its view for stills that need no file."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import pytest

from flow.benches import SMALL
from trialpress.analyses import work_out_analyses
from trialpress.bench import Bench
from trialpress.flow import KITS, KitsOrder, make_kits
from trialpress.intake import read_bench
from trialpress.kit import KitRequest, WrittenKit
from trialpress.kit.making import Source
from trialpress.kit.request import subject_of
from trialpress.measure import measure_runs
from trialpress.results import work_out
from trialpress.store import build_store
from trialpress.view import View
from trialpress.view.sentences import Sentences

AS_OF = date(2031, 7, 1)
REQUEST = KitRequest(setup="one-stock", protocols=("pickup",), against=("two-stock",))


@dataclass(frozen=True)
class Made:
    """A kit that was made: its folder, the output folder, and what was told of it."""

    folder: Path
    out: Path
    told: WrittenKit


def kits_order(
    bench: Path, out: Path, *requests: KitRequest, as_of: date = AS_OF, today: date = AS_OF
) -> KitsOrder:
    return KitsOrder(Bench(bench), as_of, today, out, requests, lambda _: None)


@pytest.fixture(scope="session")
def small_view() -> Iterator[View]:
    """The small bench with everything worked out; read it only."""
    store = build_store(read_bench(Bench(SMALL), AS_OF), AS_OF)
    measure_runs(store)
    work_out(store)
    work_out_analyses(store, [])
    with closing(store.connection):
        yield View(store)


@pytest.fixture(scope="session")
def source(small_view: View) -> Source:
    """What a kit of the stick is made from."""
    return Source(small_view, Sentences(small_view), subject_of(small_view, REQUEST, {}), None)


@pytest.fixture(scope="session")
def made(tmp_path_factory: pytest.TempPathFactory) -> Made:
    """A kit of the stick, drawn whole; read it only."""
    out = tmp_path_factory.mktemp("kit")
    (told,) = make_kits(kits_order(SMALL, out, REQUEST))
    return Made(out / KITS / told.name, out, told)
