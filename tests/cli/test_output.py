"""What is printed only shows: a terminal obeys nothing that somebody typed."""

from __future__ import annotations

import io
import json

from hypothesis import given
from hypothesis import strategies as st
from rich.table import Table

from trialpress.cli.output import SafeConsole, neutral

CLEARS = "a\x1b[2Jb\x9b31m\u202ec\U000e0001"


def test_what_a_terminal_would_obey_or_hide_is_written_out() -> None:
    assert neutral(CLEARS) == "a\\u001b[2Jb\\u009b31m\\u202ec\\udb40\\udc01"


@given(text=st.text())
def test_text_in_json_stays_the_same_text(text: str) -> None:
    printed = neutral(json.dumps(text, ensure_ascii=False))

    assert json.loads(printed) == text
    assert not any(char in printed for char in "\x1b\x9b\x07\u202e")


def test_tables_and_sentences_are_neutral_too() -> None:
    written = io.StringIO()
    console = SafeConsole(file=written, force_terminal=False, width=200)
    table = Table(CLEARS)
    table.add_row(CLEARS)

    console.print(table)
    console.print(CLEARS)

    assert written.getvalue().count("\\u001b[2J") == 3
    assert "\x1b" not in written.getvalue()
