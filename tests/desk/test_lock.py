"""Several who write at once lose no row, and one who saves in an editor loses nothing."""

from __future__ import annotations

import csv
import multiprocessing
from multiprocessing.synchronize import Barrier
from pathlib import Path

import pytest

from trialpress.bench import Bench
from trialpress.desk import append, replacing
from trialpress.desk.append import ChangingFileError, append_rows, read_table_text
from trialpress.lock import InUseError, NoLockError, locked

WRITERS, ROWS = 4, 15
FORK = multiprocessing.get_context("fork")


def _write(root: Path, writer: int, start: Barrier) -> None:
    start.wait()
    for i in range(ROWS):
        with locked(Bench(root)):
            append_rows(root / "values.csv", ("run",), [{"run": f"{writer}-{i}"}])


def test_several_programs_that_write_at_once_lose_no_row(tmp_path: Path) -> None:
    start = FORK.Barrier(WRITERS)
    writers = [FORK.Process(target=_write, args=(tmp_path, n, start)) for n in range(WRITERS)]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()

    with (tmp_path / "values.csv").open(encoding="utf-8", newline="") as opened:
        runs = sorted(row["run"] for row in csv.DictReader(opened))

    assert runs == sorted(f"{n}-{i}" for n in range(WRITERS) for i in range(ROWS))
    assert sorted(path.name for path in tmp_path.iterdir()) == ["build", "values.csv"]


def _hold(root: Path, start: Barrier) -> None:
    with locked(Bench(root)):
        start.wait()
        start.wait()


def test_who_waits_in_vain_is_told_who_holds_the_lock_and_a_killed_one_gives_it_back(
    tmp_path: Path,
) -> None:
    start = FORK.Barrier(2)
    holder = FORK.Process(target=_hold, args=(tmp_path, start))
    holder.start()
    start.wait()

    said = rf"another program \(process {holder.pid}\)"
    with pytest.raises(InUseError, match=said), locked(Bench(tmp_path), patience_s=0.05):
        pass
    holder.kill()
    holder.join()

    with locked(Bench(tmp_path), patience_s=1), locked(Bench(tmp_path)):
        pass


def test_a_lock_that_is_a_link_is_not_followed(tmp_path: Path) -> None:
    (tmp_path / "build").mkdir()
    (tmp_path / "kept.txt").write_text("mine", encoding="utf-8")
    (tmp_path / "build" / ".bench.lock").symlink_to(tmp_path / "kept.txt")

    with pytest.raises(NoLockError), locked(Bench(tmp_path)):
        pass

    assert (tmp_path / "kept.txt").read_text("utf-8") == "mine"


def test_what_an_editor_saved_in_between_is_read_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "values.csv"
    append_rows(file, ("run",), [{"run": "a"}])
    edits = iter(["run\nedited\n"])

    def read_before_an_edit(path: Path) -> append.TableText | None:
        table = read_table_text(path)
        if text := next(edits, ""):
            path.write_text(text, encoding="utf-8")
        return table

    monkeypatch.setattr(append, "read_table_text", read_before_an_edit)
    append_rows(file, ("run",), [{"run": "b"}])

    assert file.read_text("utf-8") == "run\nedited\nb\n"


def test_a_file_that_changes_all_the_time_is_left_to_the_other_program(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "values.csv"
    file.write_text("run\n", encoding="utf-8")
    monkeypatch.setattr(replacing, "_bytes_of", lambda _: b"something else")

    with pytest.raises(ChangingFileError):
        append_rows(file, ("run",), [{"run": "b"}])

    assert [path.name for path in tmp_path.iterdir()] == ["values.csv"]


def test_a_planted_link_beside_a_file_is_not_followed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    victim = tmp_path / "victim.txt"
    victim.write_text("mine", encoding="utf-8")
    monkeypatch.setattr("secrets.token_hex", lambda _: "guessed")
    for name in (".values.csv.new", ".values.csv.guessed.new"):
        (tmp_path / name).symlink_to(victim)

    with pytest.raises(replacing.NotKeptError):
        append_rows(tmp_path / "values.csv", ("run",), [{"run": "b"}])

    assert victim.read_text("utf-8") == "mine"
