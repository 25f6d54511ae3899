"""What ``explain`` says first, before any table."""

from __future__ import annotations

from pathlib import Path

import pytest

from flow.benches import copy_of_small_bench
from typed import Said, trialpress

JUNE = ("--as-of", "2031-06-01")


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    return copy_of_small_bench(tmp_path / "bench")


def lines_of(said: Said) -> list[str]:
    return said.stdout.splitlines()


def test_a_run_is_told_in_a_sentence_before_its_table(bench: Path) -> None:
    # 18.6 g of 20.0 g on a balance of 0.1 g
    first = lines_of(trialpress("explain", "porch-01", *JUNE, folder=bench))[:2]

    assert first == [
        "Run porch-01: one-stock, pickup version 2.",
        "It reads 93 %, give or take 0.48 % at 95 % by its readings alone.",
    ]


def test_a_void_run_says_why_it_counts_nowhere(bench: Path) -> None:
    said = trialpress("explain", "hall-04", *JUNE, folder=bench)

    assert lines_of(said)[1] == "It is void and counts nowhere: hose came off"


def test_a_standing_is_told_in_a_sentence_before_its_table(bench: Path) -> None:
    first = lines_of(trialpress("explain", "one-stock", "noise", *JUNE, folder=bench))[:2]

    assert first == [
        "one-stock, noise version 1:",
        "71.4 dB(A) from 1 run: place 2 of 2; the runs cannot rule out places 1 to 2.",
    ]


def test_a_far_off_run_is_shown_with_and_without_it(bench: Path) -> None:
    values = bench / "data" / "days" / "2031-03-09-porch" / "values.csv"
    rows = [("one", v) for v in ("71.4", "71.1", "71.8", "78.3")]
    rows += [("two", v) for v in ("64.0", "64.5", "63.8", "64.3")]
    values.write_text(
        "run,at,setup,protocol,version,instrument,value,status\n"
        + "".join(
            f"sound-{i},2031-03-09T10:{i:02},{setup}-stock,noise,1,meter,{value},valid\n"
            for i, (setup, value) in enumerate(rows, 10)
        ),
        encoding="utf-8",
    )

    told = trialpress("explain", "one-stock", "noise", *JUNE, folder=bench).stdout

    # (71.4 + 71.1 + 71.8) / 3 = 71.43
    assert (
        "sound-13 is far from the others: without it their mean is 71.43 dB(A). "
        "It counts all the same." in told
    )


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("explain", "porch-1"), "Is porch-"),
        (("explain", "one-stok", "noise"), "Is one-stock meant?"),
        (("explain", "one-stock", "nois"), "Is noise meant?"),
        (("plan", "--protocol", "nois"), "Is noise meant?"),
        (("plan", "--protocol", "pickup", "--separate", "one-stok", "two-stock"), "Is one-stock"),
        (("tidy", "data/catalogue/machine.csv"), "Is data/catalogue/machines.csv meant?"),
    ],
)
def test_an_unknown_name_gets_the_nearest_one(
    words: tuple[str, ...], said: str, bench: Path
) -> None:
    as_of = () if words[0] == "tidy" else JUNE

    done = trialpress(*words, *as_of, folder=bench)

    assert done.returncode == 2
    assert said in done.stderr
