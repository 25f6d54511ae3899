"""Several who write into one bench at once: previews, commands, and an editor that asks nobody."""

from __future__ import annotations

import csv
import json
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack
from pathlib import Path

import pytest

from desk.previews import DAY, Asking, draft, still_preview
from flow.benches import copy_of_small_bench
from trialpress.bench import Bench
from trialpress.desk.append import append_rows
from trialpress.desk.measured import BenchState
from trialpress.desk.preview.server import PreviewServer
from trialpress.lock import locked

RUNS = [f"raced-{i:02}" for i in range(4)]
COLUMNS = ("run", "at", "setup", "protocol", "version", "value", "status")


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench(copy_of_small_bench(tmp_path / "bench"))


@pytest.fixture
def previews(bench: Bench, state: BenchState) -> Iterator[tuple[PreviewServer, PreviewServer]]:
    """Two previews of one bench, neither of which knows of the other."""
    with ExitStack() as stack:
        yield (
            stack.enter_context(still_preview(bench, state)),
            stack.enter_context(still_preview(bench, state)),
        )


def runs_in(file: Path) -> Counter[str]:
    with file.open(encoding="utf-8", newline="") as opened:
        return Counter(row["run"] for row in csv.DictReader(opened, strict=True))


def test_two_previews_and_a_command_lose_no_run_and_keep_none_twice(
    bench: Bench, previews: tuple[PreviewServer, PreviewServer]
) -> None:
    """Each run is sent to both, as by two phones that share a list, while rows are typed."""
    asking = [Asking(preview) for preview in previews]
    typed = [f"typed-{i:02}" for i in range(4)]

    def keep(run: str) -> list[int]:
        sent = draft(
            run=run, replicate="", at=f"{DAY[:10]}T19:{run[-2:]}", after_g=f"278.{run[-1]}"
        )
        return [ask("/sheet/keep", sent)[0] for ask in asking]

    def type_row(run: str) -> None:
        at = f"{DAY[:10]}T20:{run[-2:]}"
        row = dict(zip(COLUMNS, (run, at, "one-stock", "noise", "1", "70.1", "valid"), strict=True))
        with locked(bench):
            append_rows(bench.days / DAY / "values.csv", COLUMNS, [row])

    with ThreadPoolExecutor(4) as people:
        statuses = list(people.map(keep, RUNS))
        list(people.map(type_row, typed))

    assert statuses == [[200, 200]] * len(RUNS)
    assert runs_in(bench.days / DAY / "weighings.csv") == Counter(RUNS)
    assert runs_in(bench.days / DAY / "values.csv") == Counter(typed)


def test_one_run_typed_differently_in_two_previews_is_kept_once(
    bench: Bench, previews: tuple[PreviewServer, PreviewServer]
) -> None:
    masses = ("278.0", "277.5")

    with ThreadPoolExecutor(2) as people:
        answers = list(
            people.map(
                lambda sent: Asking(sent[0])("/sheet/keep", draft(after_g=sent[1])),
                zip(previews, masses, strict=True),
            )
        )

    assert sorted(status for status, _, _ in answers) == [200, 422]
    (refused,) = (json.loads(body)["problem"] for status, body, _ in answers if status == 422)
    assert "says something else" in refused
    assert runs_in(bench.days / DAY / "weighings.csv") == Counter(["new-01"])


def test_a_run_that_an_editor_saved_away_is_told_and_put_back(
    bench: Bench, previews: tuple[PreviewServer, PreviewServer]
) -> None:
    ask = Asking(previews[0])
    file = bench.days / DAY / "weighings.csv"
    ask("/sheet/keep", draft())
    opened_in_editor = file.read_bytes()
    ask("/sheet/keep", draft(run="new-02", replicate="3", after_g="277.9"))
    file.write_bytes(opened_in_editor)

    gone = json.loads(ask("/sheet/gone", {})[1])

    assert gone == {"runs": [{"run": "new-02", "file": f"data/days/{DAY}/weighings.csv"}]}
    assert ask("/sheet/put-back", {"run": "new-02"})[0] == 200
    assert runs_in(file) == Counter(["new-01", "new-02"])
    assert json.loads(ask("/sheet/gone", {})[1]) == {"runs": []}


def test_a_run_taken_out_on_purpose_is_let_go(
    bench: Bench, previews: tuple[PreviewServer, PreviewServer]
) -> None:
    ask = Asking(previews[0])
    ask("/sheet/keep", draft())
    (bench.days / DAY / "weighings.csv").unlink()

    assert json.loads(ask("/sheet/let-go", {"run": "new-01"})[1]) == {"runs": []}
    assert ask("/sheet/put-back", {"run": "new-01"})[0] == 400
    assert ask("/sheet/put-back", ["new-01"])[0] == 400
