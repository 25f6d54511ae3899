"""The preview's catalogue: rows judged by check, kept once, changed and taken back."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from desk.previews import Asking, still_preview
from flow.benches import copy_of_small_bench, files_below
from trialpress.bench import Bench
from trialpress.desk.measured import BenchState
from trialpress.desk.preview.server import PreviewServer

MAKER = {"table": "makers", "cells": {"maker": "three", "name": "Three"}}


@pytest.fixture
def server(tmp_path: Path, state: BenchState) -> Iterator[PreviewServer]:
    with still_preview(Bench(copy_of_small_bench(tmp_path / "bench")), state) as served:
        yield served


@pytest.fixture
def ask(server: PreviewServer) -> Asking:
    return Asking(server)


def test_a_row_is_judged_kept_and_taken_back(server: PreviewServer, ask: Asking) -> None:
    before = files_below(server.watcher.bench.data)
    typed = {"table": "makers", "cells": {"name": "Three"}, "untouched": ["maker"]}

    judged = json.loads(ask("/catalogue/judge", typed)[1])
    kept = json.loads(ask("/catalogue/keep", MAKER)[1])
    offered = json.loads(ask("/catalogue/offer", {})[1])
    undone = json.loads(ask("/catalogue/undo", {})[1])

    assert judged == {
        "proposed": {"maker": "three"},
        "may_be_kept": True,
        "findings": [],
        "in_all": 0,
    }
    assert kept == {"file": "data/catalogue/makers.csv", "row": 4, "was_new": True}
    assert offered["undo"] == "three was added to makers.csv"
    assert undone == {"undone": "three was added to makers.csv"}
    assert files_below(server.watcher.bench.data) == before


def test_a_change_that_would_break_runs_names_them_and_is_not_kept(ask: Asking) -> None:
    tables = {t["table"]: t for t in json.loads(ask("/catalogue/offer", {})[1])["tables"]}
    row = next(row for row in tables["protocols"]["rows"] if row["key"] == ["pickup", "2"])
    changed = {**row["cells"], "dose_g": "5"}
    sent = {"table": "protocols", "key": row["key"], "was": row["cells"], "cells": changed}

    judged = json.loads(ask("/catalogue/judge", sent)[1])

    assert not judged["may_be_kept"]
    places = {(one["file"].split("/")[-1], one["code"]) for one in judged["findings"]}
    assert places == {("weighings.csv", "dose-outside-tolerance")}
    assert ask("/catalogue/keep", sent)[0] == 422


def test_the_second_of_two_windows_that_add_one_name_gets_a_sentence(
    server: PreviewServer, ask: Asking
) -> None:
    other = {"table": "makers", "cells": {"maker": "three", "name": "Drei"}}
    assert ask("/catalogue/keep", MAKER)[0] == 200

    status, body, _ = ask("/catalogue/keep", other)
    again = json.loads(ask("/catalogue/keep", MAKER)[1])

    assert status == 422
    assert json.loads(body)["problem"].startswith("Nothing was written. makers.csv has a row three")
    assert again["was_new"] is False
    text = (server.watcher.bench.catalogue / "makers.csv").read_text(encoding="utf-8")
    assert text.count("\nthree,") == 1


def test_the_second_of_two_windows_that_change_one_row_gets_a_sentence(ask: Asking) -> None:
    was = {"maker": "maker-two", "name": "Maker Two"}
    sent = {"table": "makers", "key": ["maker-two"], "was": was}
    assert ask("/catalogue/keep", {**sent, "cells": {**was, "name": "Two"}})[0] == 200

    status, body, _ = ask("/catalogue/keep", {**sent, "cells": {**was, "name": "Deux"}})

    assert status == 422
    assert "name says Two by now, and said Maker Two when" in json.loads(body)["problem"]


def test_a_row_that_nothing_needs_is_removed_with_its_text_and_comes_back(
    server: PreviewServer, ask: Asking
) -> None:
    before = files_below(server.watcher.bench.data)
    offered = json.loads(ask("/catalogue/offer", {})[1])
    rows = {t["table"]: {tuple(r["key"]): r for r in t["rows"]} for t in offered["tables"]}

    def remove(table: str, *key: str) -> tuple[int, str]:
        sent = {"table": table, "key": key, "was": rows[table][key]["cells"], "remove": True}
        status, body, _ = ask("/catalogue/keep", sent)
        return status, str(json.loads(body).get("problem"))

    assert remove("protocols", "edges", "1")[0] == 422  # corrections, and runs
    status, problem = remove("makers", "maker-one")
    assert status == 422
    assert problem.startswith("Nothing was written. maker-one stands in makers.csv, and without it")
    assert "machines.csv, row 2, maker: there is no maker-one in makers.csv" in problem
    cells = {**rows["protocols"]["noise", "1"]["cells"], "protocol": "rest", "title": "Rest"}
    ask("/catalogue/keep", {"table": "protocols", "cells": cells, "method": "# Rest"})
    rows["protocols"]["rest", "1"] = {"cells": cells}
    with_rest = files_below(server.watcher.bench.data)

    assert remove("protocols", "rest", "1") == (200, "None")
    assert files_below(server.watcher.bench.data) == before
    assert json.loads(ask("/catalogue/undo", {})[1])["undone"].startswith("rest 1 was removed from")
    assert files_below(server.watcher.bench.data) == with_rest


def test_a_method_text_keeps_its_line_ends_and_is_not_changed_behind_ones_back(
    server: PreviewServer, ask: Asking
) -> None:
    file = server.watcher.bench.catalogue / "methods" / "noise.md"
    file.write_bytes(b"# Noise\r\n\r\nOnce.\r\n")
    offered = json.loads(ask("/catalogue/offer", {})[1])
    row = next(
        row for table in offered["tables"] for row in table["rows"] if row["key"] == ["noise", "1"]
    )
    text = offered["methods"]["noise"].replace("\r\n", "\n")  # as a field of a page has it
    sent = {"table": "protocols", "key": row["key"], "was": row["cells"], "cells": row["cells"]}

    twice = {**sent, "method": text.replace("Once", "Twice"), "method_was": text}

    assert ask("/catalogue/keep", twice)[0] == 200
    assert file.read_bytes() == b"# Noise\r\n\r\nTwice.\r\n"
    status, body, _ = ask("/catalogue/keep", {**twice, "method": "# Other"})
    assert status == 422
    assert "methods/noise.md says another text by now" in json.loads(body)["problem"]


def test_a_table_that_cannot_be_read_hides_no_other(server: PreviewServer, ask: Asking) -> None:
    (server.watcher.bench.catalogue / "floors.csv").write_bytes(b'floor,name\na,"b\n')

    tables = {t["table"]: t for t in json.loads(ask("/catalogue/offer", {})[1])["tables"]}

    assert "the quotes of row 2 are odd" in tables["floors"]["problem"]
    assert [row["key"] for row in tables["makers"]["rows"]] == [["maker-one"], ["maker-two"]]


@pytest.mark.parametrize(
    "sent",
    [
        [],
        {"table": "weighings", "cells": {}},
        {"table": ["makers"], "cells": {}},
        {"table": "../makers", "cells": {}},
        {"table": "makers", "cells": []},
        {"table": "makers", "cells": {"name": 3}},
        {"table": "makers", "cells": {"nmae": "x"}},
        {"table": "makers", "cells": {"name": "x" * 2001}},
        {"table": "makers", "cells": {"name": "x"}, "key": "x"},
        {"table": "makers", "cells": {"name": "x"}, "key": ["gone"]},
        {"table": "makers", "cells": {"name": "x"}, "untouched": [[]]},
        {"table": "protocols", "cells": {}, "method": "x" * 50_001},
        {"table": "protocols", "cells": {"protocol": "../../x"}, "method": "x"},
        {"table": "protocols", "cells": {"protocol": "a\\b"}, "method": "x"},
    ],
)
def test_what_is_no_row_of_the_catalogue_writes_nothing(
    sent: object, server: PreviewServer, ask: Asking
) -> None:
    before = files_below(server.watcher.bench.data)

    answers = [ask(f"/catalogue/{question}", sent) for question in ("judge", "keep")]

    for status, body, _ in answers:
        assert status in {400, 422} or not json.loads(body)["may_be_kept"]
    assert "problem" in json.loads(answers[1][1])
    assert files_below(server.watcher.bench.data) == before
