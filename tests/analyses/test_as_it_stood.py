"""How a bench stood on an earlier date is worked out again only where that could differ."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

import pytest

from flow.benches import copy_of_small_bench
from trialpress.analyses import as_it_stood, state_as_it_stood
from trialpress.analyses.movements import State
from trialpress.bench import Bench
from trialpress.cache import Cache, keeping
from trialpress.intake import read_files

SINCE = date(2031, 3, 9)
LATER = "2031-03-16-hall"


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    return copy_of_small_bench(tmp_path / "bench")


def stood(bench: Path, kept: Path | None = None) -> State | None:
    files = read_files(Bench(bench))
    if kept is None:
        return state_as_it_stood(files, SINCE)
    with keeping(Cache(kept)):
        return state_as_it_stood(files, SINCE)


def change(bench: Path, file: str, old: str, new: str) -> None:
    place = bench / "data" / file
    place.write_text(place.read_text("utf-8").replace(old, new, 1), "utf-8")


def type_on_a_later_day(bench: Path) -> None:
    days = bench / "data" / "days"
    first = min(day for day in days.iterdir() if (day / "weighings.csv").is_file())
    shutil.copytree(first, days / LATER)
    for table in (days / LATER).glob("*.csv"):
        text = table.read_text("utf-8").replace(first.name[:10], LATER[:10])
        table.write_text(text.replace("hall-", "later-"), "utf-8")


def test_it_is_worked_out_again_only_where_what_was_seen_then_differs(
    bench: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """By hand: hall-01 gained 278.3 - 260.1 = 18.2 g of 20.1 g, 90.5473 %."""
    before = stood(bench, tmp_path / "kept")
    assert before is not None
    assert before.runs

    type_on_a_later_day(bench)
    with monkeypatch.context() as patch:
        patch.setattr(as_it_stood, "_worked_out", None)
        assert stood(bench, tmp_path / "kept") == before
    assert stood(bench) == before

    change(bench, "days/2031-03-02-hall/weighings.csv", "278.4", "278.3")
    now = stood(bench, tmp_path / "kept")
    assert now is not None
    values = {run: value for runs in now.runs.values() for run, value in runs.items()}
    assert values["hall-01"] == pytest.approx(90.5473, abs=5e-5)


@pytest.mark.parametrize(
    ("file", "old", "new"),
    [
        ("bench.toml", "confidence = 0.95", "confidence = 0.9"),
        ("catalogue/setups.csv", "one-stock", "none-stock"),
        ("days/2031-03-09-porch/values.csv", "valid", "void"),
    ],
)
def test_every_setting_and_row_of_then_counts(file: str, old: str, new: str, bench: Path) -> None:
    before = [*as_it_stood._content(read_files(Bench(bench)), SINCE)]
    change(bench, file, old, new)

    assert [*as_it_stood._content(read_files(Bench(bench)), SINCE)] != before
