"""Every finding there can be, word for word.

In:  the cases of ``tests/folders/faults``: a small bench without faults, each time with one.
Out: the findings, all of them, with their exact text.
"""

from __future__ import annotations

import re
import tomllib
from importlib.resources import files
from pathlib import Path

import pytest

from intake.broken import BASE, Case, findings_of, lay_out, read_cases
from trialpress.bench import Bench
from trialpress.intake import FindingCode

CASES = read_cases()
WORDING = files("trialpress.intake").joinpath("wording.toml")


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_one_fault_gives_its_findings_word_for_word(case: Case, tmp_path: Path) -> None:
    findings = findings_of(lay_out(case.edits, tmp_path))

    assert [finding.text for finding in findings] == [item.text for item in case.expected]
    assert [finding.code.value for finding in findings] == [item.code for item in case.expected]


def test_the_bench_below_all_cases_has_no_fault() -> None:
    assert findings_of(Bench(BASE)) == ()


def test_every_code_has_a_case() -> None:
    shown = {item.code for case in CASES for item in case.expected}

    assert {code.value for code in FindingCode} == shown


def test_every_code_is_worded_and_no_other() -> None:
    worded = set(tomllib.loads(WORDING.read_text("utf-8")))

    assert {code.value for code in FindingCode} == worded


def test_every_sentence_is_printed_by_some_case() -> None:
    texts = [item for case in CASES for item in case.expected]

    unused = [
        f"{code}.{name}"
        for code, entry in tomllib.loads(WORDING.read_text("utf-8")).items()
        for name, sentence in entry.items()
        if not name.startswith("severity")
        and not any(item.code == code and _pattern(sentence).search(item.text) for item in texts)
    ]

    assert unused == []


def test_cases_have_names_of_their_own() -> None:
    names = [case.name for case in CASES]

    assert sorted(set(names)) == sorted(names)


def _pattern(sentence: str) -> re.Pattern[str]:
    """The sentence with anything in place of its facts, up to the end of its line."""
    parts = re.split(r"\{\w+\}", sentence)
    return re.compile(".*".join(re.escape(part) for part in parts) + "$", re.MULTILINE)
