"""The commands of the desk, as a tester types them in one evening."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

import typed
from flow.benches import copy_of_small_bench
from typed import Said

TODAY = "1927540800"  # 2031-01-30T00:00:00Z
LATER = "1943956800"  # 2031-08-08T08:00:00Z
NAME = "2031-02-01-hall"


def trialpress(*arguments: str, folder: Path, now: str = TODAY) -> Said:
    return typed.trialpress(*arguments, folder=folder, SOURCE_DATE_EPOCH=now)


def add_line(file: Path, line: str) -> None:
    file.write_text(file.read_text(encoding="utf-8") + line + "\n", encoding="utf-8")


def test_one_evening_from_an_empty_folder_to_a_correction(tmp_path: Path) -> None:
    assert trialpress("new", "bench", folder=tmp_path).returncode == 0
    bench = tmp_path / "bench"
    catalogue = bench / "data" / "catalogue"
    add_line(catalogue / "makers.csv", "quorlin,Quorlin,")
    add_line(catalogue / "machines.csv", "quorlin-4,quorlin,Four,stick,,,,,bought,,,")
    add_line(catalogue / "setups.csv", "four-stock,quorlin-4,as unboxed,,,,,,,,true,true,")

    planned = trialpress("plan", "--sheet", NAME, folder=bench)
    assert planned.returncode == 0
    assert "four-stock: 3 runs (the protocol was never run; 0 of 3 made)" in planned.stdout
    assert (bench / "build" / "sheets" / f"{NAME}.html").exists()
    assert trialpress("check", folder=bench).stdout.endswith("No faults found, 2 warnings.\n")

    sheet = bench / "data" / "days" / NAME / "weighings.csv"
    text = sheet.read_text(encoding="utf-8")
    blank = f"{NAME}-01,2031-02-01,four-stock,sand-on-rug,1,,,,,,,,,,,planned"
    assert blank in text
    typed = f"{NAME}-01,2031-02-01,four-stock,sand-on-rug,1,balance,20.1,reading,balance,"
    sheet.write_text(text.replace(blank, f"{typed}461.2,455.9,,,,,valid"), encoding="utf-8")
    caught = trialpress("check", folder=bench)
    assert caught.returncode == 1
    assert "after_g" in caught.stdout

    sheet.write_text(text.replace(blank, f"{typed}461.2,475.9,,,,,valid"), encoding="utf-8")
    fixed = trialpress(
        *("correct", "weighings", f"{NAME}-01", "after_g", "476.9", "--why", "Misread.", "--all"),
        folder=bench,
        now=LATER,
    )
    assert fixed.returncode == 0
    assert "475.9 becomes 476.9" in fixed.stdout
    assert f"run_results {NAME}-01\n  value: 73.1" in fixed.stdout  # 14.7 g of 20.1 g


def test_a_plan_over_two_evenings_is_written_whole_before_its_first_run(bench: Path) -> None:
    names = ("2031-04-02-hall", "2031-04-09-hall")
    asked = ("plan", "--protocol", "noise")

    planned = trialpress(*asked, *("--sheet", names[0], "--sheet", names[1]), folder=bench)
    odd = trialpress(*asked, *("--evenings", "3", "--sheet", "2031-04-16-hall"), folder=bench)

    assert planned.returncode == 0
    rows = [(bench / "data/days" / name / "values.csv").read_text("utf-8") for name in names]
    assert "plan: missing runs, evening 1 of 2, seed 1" in rows[0]
    assert "plan: missing runs, evening 2 of 2, seed 2" in rows[1]
    assert odd.returncode == 2
    assert "give --sheet once for each evening" in " ".join(odd.stderr.split())


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    return copy_of_small_bench(tmp_path / "bench")


def test_plans_corrections_and_adoptions_can_be_had_as_json(bench: Path) -> None:
    (bench / "old.csv").write_text("date,machine\n2031-04-03,Stick One\n", encoding="utf-8")
    wish = ("correct", "weighings", "porch-01", "after_g", "279.8", "--why", "x", "--dry-run")

    plan = json.loads(trialpress("plan", "--json", folder=bench, now=LATER).stdout)
    fix = json.loads(trialpress(*wish, "--json", folder=bench, now=LATER).stdout)
    adoption = json.loads(trialpress("adopt", "old.csv", "--json", folder=bench).stdout)

    assert {"setup", "protocol", "version", "runs", "reason"} == set(plan["missing"][0])
    assert fix["changes"][0]["now"] == "279.8"
    assert adoption["refused"][0]["reason"] == "protocol is blank"


def test_a_dry_run_writes_nothing_and_quiet_says_nothing(bench: Path) -> None:
    before = (bench / "data" / "corrections.csv").read_bytes()
    wish = ("correct", "weighings", "porch-01", "after_g", "279.8", "--why", "x", "--dry-run")

    done = trialpress(*wish, "--quiet", folder=bench, now=LATER)

    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")
    assert (bench / "data" / "corrections.csv").read_bytes() == before


@pytest.mark.parametrize(
    ("arguments", "status", "words"),
    [
        (("new", "."), 2, "is not empty"),
        (("plan", "--settle", "dust"), 2, "No protocol dust is being run"),
        (("plan", "--separate", "a", "b"), 2, "add --protocol PROTOCOL"),
        (("plan", "--sheet", "2031-03-02-hall"), 2, "is there already"),
        (("adopt", "nowhere.csv"), 3, "nowhere.csv cannot be opened"),
        (("correct", "runs", "a", "b", "c", "--why", "x"), 2, "There is no table runs"),
    ],
)
def test_wrong_use_is_told_in_words(
    arguments: tuple[str, ...], status: int, words: str, bench: Path
) -> None:
    done = trialpress(*arguments, folder=bench, now=LATER)

    assert done.returncode == status
    assert words in done.stderr
    assert "Traceback" not in done.stderr


def test_check_as_of_a_date_tells_what_comes_next(bench: Path) -> None:
    done = trialpress("check", "--as-of", "2031-04-01", folder=bench)

    assert done.stdout == (
        "No faults found.\nTo become visible:\n"
        "  2031-06-01: set-up two-stock\n  2031-06-08: film sticks\n"
    )
