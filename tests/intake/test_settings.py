"""Settings: what ``bench.toml`` may say.

In:  the file of the small bench with one value changed.
Out: the settings, or a finding for the key.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from intake.broken import BASE, lay_out
from trialpress.intake import FindingCode
from trialpress.intake.settings import read_settings

TYPED = (BASE / "data/bench.toml").read_text("utf-8")


def codes(text: str, folder: Path) -> list[FindingCode]:
    bench = lay_out([{"file": "data/bench.toml", "text": text}], folder)
    return [finding.code for finding in read_settings(bench).findings]


def with_value(key: str, value: str) -> str:
    lines = [line for line in TYPED.splitlines() if not line.startswith(f"{key} =")]
    return "\n".join([*lines, f"{key} = {value}"])


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("base_url", '"https://bench.example/a/b/"'),
        ("base_url", '"https://localhost:8000/"'),
        ("time_zone", '"UTC"'),
        ("time_zone", '"America/Argentina/Ushuaia"'),
        ("confidence", "0.9"),
        ("top_n", "1"),
        ("notice", '"All of this is invented."'),
        ("single_runs", '"open"'),
        ("overall", '"steps"'),
        ("name", '"Prüfstand \\"Süd\\""'),
        ("synonyms", '{ thick = "rug | deep pile", "pet hair" = "hair" }'),
    ],
)
def test_values_that_are_fine(key: str, value: str, tmp_path: Path) -> None:
    assert codes(with_value(key, value), tmp_path) == []


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("format", "true"),
        ("format", '"1"'),
        ("base_url", '"http://bench.example/"'),
        ("base_url", '"https://bench.example"'),
        ("base_url", '"https://bench.example/?a=b/"'),
        ("base_url", '"https://user@bench.example/"'),
        ("base_url", '"https://bench.example/a b/"'),
        ("base_url", '"//bench.example/"'),
        ("time_zone", '"Europe"'),
        ("time_zone", '"../../etc/passwd"'),
        ("time_zone", "1"),
        ("currency", '"eur"'),
        ("currency", '["EUR"]'),
        ("top_n", "true"),
        ("top_n", "1.0"),
        ("top_n", "-1"),
        ("confidence", "0.5"),
        ("confidence", "1"),
        ("confidence", "nan"),
        ("confidence", "true"),
        ("contact", '"\\n"'),
        ("notice", '""'),
        ("single_runs", "false"),
        ("overall", "[1]"),
        ("name", "[1]"),
    ],
)
def test_values_that_cannot_be_right(key: str, value: str, tmp_path: Path) -> None:
    assert codes(with_value(key, value), tmp_path) == [FindingCode.SETTING_WRONG]


@pytest.mark.parametrize(
    "text", ["[", "a = ", "a = 1\na = 2", "= 1", "a = '", "x = " + "[" * 5000, "n = " + "9" * 5000]
)
def test_a_file_that_is_no_toml_is_told(text: str, tmp_path: Path) -> None:
    assert codes(text, tmp_path) == [FindingCode.SETTINGS_SYNTAX]


def test_a_byte_order_mark_makes_no_difference(tmp_path: Path) -> None:
    assert codes("\ufeff" + TYPED, tmp_path) == []


def test_an_empty_file_misses_every_setting_that_has_no_default(tmp_path: Path) -> None:
    assert codes("", tmp_path) == [FindingCode.SETTING_MISSING] * 10
