"""The preview's page of old spreadsheets writes what it has shown, and nothing else."""

from __future__ import annotations

import base64
import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from desk.previews import Asking, still_preview
from flow.benches import copy_of_small_bench, files_below
from trialpress.bench import Bench
from trialpress.desk.measured import BenchState
from trialpress.desk.preview.server import PreviewServer

ROWS = b"date,machine,test,dose,net\n2031-04-03,Stick One,edges,10.0,1.2\n"


@pytest.fixture
def server(tmp_path: Path, state: BenchState) -> Iterator[PreviewServer]:
    with still_preview(Bench(copy_of_small_bench(tmp_path / "bench")), state) as served:
        yield served


@pytest.fixture
def ask(server: PreviewServer) -> Asking:
    return Asking(server)


def as_sent(name: str, data: bytes) -> dict[str, object]:
    return {"name": name, "data": base64.b64encode(data).decode()}


def shown(ask: Asking, data: bytes = ROWS, name: str = "old.csv") -> dict[str, object]:
    """Open a file and look at it; what the page would send to write it."""
    opened = json.loads(ask("/adopting/open", as_sent(name, data))[1])
    looked_by = {"of": opened["of"], "mapping": opened["mapping"]}
    looked = json.loads(ask("/adopting/look", looked_by)[1])
    return {**looked_by, "shown": looked["shown"], **as_sent(name, data)}


def test_a_name_that_leads_elsewhere_is_kept_as_a_name(server: PreviewServer, ask: Asking) -> None:
    before = files_below(server.watcher.bench.root)

    status, *_ = ask("/adopting/write", shown(ask, name="../../..\\..\\evil.csv"))

    new = set(files_below(server.watcher.bench.root)) - set(before)
    kept = sorted(str(name) for name in new if "adopted" in str(name).split("/"))
    assert status == 200
    assert [name.rpartition("-")[2] for name in kept] == [
        "evil.csv",
        "data/adopted/provenance.csv",
    ]


def test_another_file_under_the_same_name_is_not_written(
    server: PreviewServer, ask: Asking
) -> None:
    sent = shown(ask)
    before = files_below(server.watcher.bench.data)

    status, answer, _ = ask("/adopting/write", {**sent, **as_sent("old.csv", ROWS + b"\n")})

    assert status == 422
    assert "was changed since its rows were shown" in json.loads(answer)["problem"]
    assert files_below(server.watcher.bench.data) == before


def test_rows_that_would_be_others_than_were_shown_are_not_written(
    server: PreviewServer, ask: Asking
) -> None:
    sent = shown(ask)
    setups = server.watcher.bench.catalogue / "setups.csv"
    setups.write_text(setups.read_text("utf-8").replace("one-stock", "one-new"), encoding="utf-8")
    for file in server.watcher.bench.days.rglob("*.csv"):
        file.write_text(file.read_text("utf-8").replace("one-stock", "one-new"), encoding="utf-8")
    before = files_below(server.watcher.bench.data)

    status, answer, _ = ask("/adopting/write", sent)

    assert status == 422
    assert "The bench was changed since these rows were shown" in json.loads(answer)["problem"]
    assert files_below(server.watcher.bench.data) == before


@pytest.mark.parametrize(
    "mapping", [{"sheet": {}}, {"values": {"setup": {"a": {}}}}, {"wide": {"becomes": []}}, [], 7]
)
def test_a_mapping_that_is_none_is_refused_in_words(mapping: object, ask: Asking) -> None:
    status, answer, _ = ask("/adopting/look", {**shown(ask), "mapping": mapping})

    assert status == 400
    assert json.loads(answer)["problem"]
