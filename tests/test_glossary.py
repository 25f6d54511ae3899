"""Words of the trade and of ours are explained where a tester first meets them, once each."""

from __future__ import annotations

from pathlib import Path

import pytest

from flow.benches import copy_of_small_bench
from trialpress.glossary import WORDS, explained, glossary_lines
from trialpress.intake import read_schema
from typed import trialpress


def test_a_word_is_explained_once_in_any_number_and_never_as_part_of_another() -> None:
    told = explained(
        "Set-ups run on a soil; the set-up, soil_lot and level-meter are no words here."
    )

    assert [word for word, _ in told] == ["run", "set-up", "soil"]


def test_the_words_testers_stumble_over_are_all_there() -> None:
    asked = ("soil", "series", "matters", "continues", "clean_limit", "dose_by", "stock",
             "over-recovered", "level", "set-up")  # fmt: skip

    assert set(asked) <= set(WORDS)
    assert all(sentence.endswith(".") for sentence in WORDS.values())


@pytest.mark.parametrize("command", ["plan", "new", "explain"])
def test_the_help_of_a_command_ends_with_its_words(command: str, tmp_path: Path) -> None:
    told = " ".join(trialpress(command, "--help", folder=tmp_path).stdout.split())

    lines = glossary_lines(told.split(" Words: ")[0])
    assert lines
    assert all(line in told for line in lines)


def test_a_report_of_findings_explains_each_word_once(tmp_path: Path) -> None:
    bench = copy_of_small_bench(tmp_path / "bench")
    file = bench / "data" / "catalogue" / "protocols.csv"
    text = file.read_text("utf-8").replace(",1,2,%", ",,2,%").replace("dust,20,0.5", "dust,,0.5")
    file.write_text(text, encoding="utf-8")

    told = trialpress("check", folder=bench, SOURCE_DATE_EPOCH="1943956800").stdout
    as_json = trialpress("check", "--json", folder=bench, SOURCE_DATE_EPOCH="1943956800").stdout

    assert told.count("  clean_limit: the worst grade that still counts as clean") == 1
    assert "Words:" in told
    assert "Words:" not in as_json


def test_columns_of_the_schemas_that_are_words_here_mean_the_same() -> None:
    for column in ("clean_limit", "matters", "continues"):
        assert column in {field.name for field in read_schema("protocols").fields}
