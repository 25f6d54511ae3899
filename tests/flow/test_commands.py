"""The commands as a tester types them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from flow.benches import copy_of_small_bench, files_below
from typed import trialpress

NOW = "1943956800"  # 2031-08-08T08:00:00Z
DAY = "2031-03-09-porch"


def spoil(bench: Path) -> None:
    """Swap the two masses of the one run of a day."""
    file = bench / "data" / "days" / DAY / "weighings.csv"
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace("260.2,278.8", "278.8,260.2"), encoding="utf-8")


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    return copy_of_small_bench(tmp_path / "bench")


def test_a_bench_without_faults_is_told_in_one_line(bench: Path) -> None:
    done = trialpress("check", folder=bench, SOURCE_DATE_EPOCH=NOW)

    assert (done.returncode, done.stdout, done.stderr) == (0, "No faults found.\n", "")


def test_a_fault_is_told_with_place_values_and_remedy_and_no_traceback(bench: Path) -> None:
    spoil(bench)

    done = trialpress("check", folder=bench, SOURCE_DATE_EPOCH=NOW)

    assert done.returncode == 1
    assert done.stdout.startswith(f"error: data/days/{DAY}/weighings.csv, row 2, after_g: ")
    assert "278.8" in done.stdout
    assert "260.2" in done.stdout
    assert "Traceback" not in done.stdout + done.stderr


def test_findings_can_be_had_as_json(bench: Path) -> None:
    spoil(bench)

    done = trialpress("check", "--json", folder=bench, SOURCE_DATE_EPOCH=NOW)

    (finding,) = json.loads(done.stdout)
    assert finding["code"] == "mass-lost"
    assert finding["row"] == 2


def test_a_new_day_shows_after_the_next_build_and_a_fault_leaves_the_last_good_outputs(
    bench: Path,
) -> None:
    trialpress("build", "--as-of", "2031-06-01", folder=bench)
    page = bench / "build" / "site" / "machines" / "stick-one.html"
    assert "new-01" not in page.read_text(encoding="utf-8")
    day = bench / "data" / "days" / "2031-03-16-hall"
    day.mkdir()
    (day / "weighings.csv").write_text(
        "run,at,setup,protocol,version,replicate,instrument,dose_g,dose_by,dose_instrument,"
        "before_g,after_g,status\n"
        "new-01,2031-03-16T19:00,one-stock,pickup,2,2,balance,20.0,reading,balance,"
        "260.0,278.0,valid\n",
        encoding="utf-8",
    )

    done = trialpress("build", "--as-of", "2031-06-01", folder=bench)

    assert done.returncode == 0
    assert "new-01" in page.read_text(encoding="utf-8")
    before = {name: files_below(bench / "build" / name) for name in ("site", "dataset")}
    spoil(bench)

    done = trialpress("build", "--as-of", "2031-06-01", folder=bench)

    assert done.returncode == 1
    assert {name: files_below(bench / "build" / name) for name in before} == before
    report = json.loads((bench / "build" / "report.json").read_text(encoding="utf-8"))
    assert [finding["code"] for finding in report["findings"]] == ["mass-lost"]
    assert report["written"] == []


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("build", "--as-of", "yesterday"), "yesterday is no date"),
        (("build", "--only", "slides"), "slides is not built"),
        (("build", "--since", "2031-06-01", "--as-of", "2031-06-01"), "is not before 2031-06-01"),
        (("check", "--bench", "nowhere"), "nowhere has no data/bench.toml"),
    ],
)
def test_wrong_use_is_told_in_words_with_status_2(
    arguments: tuple[str, ...], words: str, bench: Path
) -> None:
    done = trialpress(*arguments, folder=bench)

    assert done.returncode == 2
    assert words in done.stderr
    assert "Traceback" not in done.stderr


def test_a_disk_that_refuses_is_told_in_words_with_status_3(bench: Path) -> None:
    (bench / "taken").write_text("a file", encoding="utf-8")

    done = trialpress("build", "--out", "taken", folder=bench)

    assert done.returncode == 3
    assert "taken cannot be written" in done.stderr
