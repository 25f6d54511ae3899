"""The words of codes: complete, in the language spoken, and in one place."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from contextlib import closing
from dataclasses import fields
from datetime import date
from enum import StrEnum
from gettext import NullTranslations
from importlib.resources import files
from pathlib import Path

import pytest
from babel import Locale

from trialpress.analyses import codes, records, work_out_analyses
from trialpress.bench import Bench
from trialpress.intake import read_bench
from trialpress.measure import measure_runs
from trialpress.results import work_out
from trialpress.store import Store, build_store
from trialpress.view.terms import (
    LISTS,
    every_term,
    group_name,
    kind_name,
    term,
    warning_words,
    why_words,
    write_terms,
)
from trialpress.view.terms import (
    codes as codes_of,
)
from trialpress.words import Language, speaking
from trialpress.words.catalogue import catalogue

SMALL = Bench(Path(__file__).parents[1] / "folders" / "base")
AS_OF = date(2031, 6, 1)
ENUMERATIONS: Mapping[str, type[StrEnum]] = {
    "why": codes.Why,
    "warning": codes.Beware,
    "verdict": codes.ClaimVerdict,
    "held_against": codes.HeldAgainst,
    "front": codes.Front,
    "change": codes.Change,
    "moved": codes.Reason,
}
TABLES = {
    "setup_deltas": records.SetupDeltaRow,
    "machine_values": records.MachineValueRow,
    "maker_against_field": records.MakerFieldRow,
    "associations": records.AssociationRow,
    "association_groups": records.AssociationGroupRow,
    "claim_checks": records.ClaimCheckRow,
    "claim_associations": records.ClaimAssociationRow,
    "air_powers": records.AirPowerRow,
    "value_front": records.ValueRow,
    "movement_spans": records.SpanRow,
}
SURER = re.compile(r"\b(beyond doubt|surely|certainly|no doubt|undoubtedly|definitely|proves?)\b")


class Translations(NullTranslations):
    """Translations by text."""

    def __init__(self, texts: Mapping[str, str]) -> None:
        super().__init__()
        self.texts = texts

    def gettext(self, message: str) -> str:
        return self.texts.get(message, message)


GERMAN = Language(
    "de",
    Locale("de"),
    Translations(
        {
            "no price is known": "kein Preis bekannt ist",
            "{low} to {high}": "{low} bis {high}",
            "robot": "Roboter",
        }
    ),
)


def worked_out() -> Store:
    """The small bench with its analyses."""
    built = build_store(read_bench(SMALL, AS_OF), AS_OF)
    measure_runs(built)
    work_out(built)
    work_out_analyses(built)
    return built


@pytest.fixture(scope="module")
def store() -> Iterator[Store]:
    built = worked_out()
    with closing(built.connection):
        yield built


@pytest.mark.parametrize("of", ENUMERATIONS)
def test_every_code_of_the_analyses_has_words(of: str) -> None:
    assert set(LISTS[of]) >= {code.value for code in ENUMERATIONS[of]}


def test_all_terms_are_listed_once_with_words_complete_but_for_columns() -> None:
    listed = list(every_term())

    assert len({(one.list, one.code) for one in listed}) == len(listed)
    assert {one.list for one in listed} == set(LISTS)
    columns = {field.name for row in TABLES.values() for field in fields(row)}
    named = {name for one in listed for name in re.findall(r"{(\w+)}", one.words)}
    assert named == {
        "currency", "only_maker", "only_kind", "groups", "groups_small", "groups_of_one_maker"
    }  # fmt: skip
    assert named <= columns
    words = {(one.list, one.code): one.words for one in listed}
    assert words["warning", "few-machines"] == "fewer than 5 machines"


@pytest.mark.parametrize("column", ["why", "warning", "verdict", "held_against", "front"])
def test_tables_hold_codes_that_have_words(store: Store, column: str) -> None:
    found = set()
    for table, row in TABLES.items():
        if column in {field.name for field in fields(row)}:
            cells = store.connection.execute(f"select {column} from {table}").fetchall()  # noqa: S608
            found |= {code for (cell,) in cells for code in codes_of(cell)}

    assert found
    assert found <= set(LISTS[column])


@pytest.mark.parametrize(
    ("of", "table", "column"),
    [
        ("top", "standings", "top"),
        ("relation", "comparisons", "relation"),
        ("why", "cells", "why"),
        ("flags", "run_results", "flags"),
        ("study_case", "spreads", "study_case"),
    ],
)
def test_results_hold_codes_that_have_words(store: Store, of: str, table: str, column: str) -> None:
    cells = store.connection.execute(f"select {column} from {table}").fetchall()  # noqa: S608
    found = {code for (cell,) in cells for code in codes_of(cell)}

    assert found
    assert found <= set(LISTS[of])


def test_the_table_of_terms_has_english_and_the_language_spoken(store: Store) -> None:
    with speaking(GERMAN):
        write_terms(store)

    robots = "select language, words from terms where list = 'kind' and code = 'robot' order by 1"
    assert store.connection.execute(robots).fetchall() == [("de", "Roboter"), ("en", "robot")]


def test_tables_are_the_same_whatever_language_is_spoken(store: Store) -> None:
    with speaking(GERMAN):
        spoken = worked_out()

    with closing(spoken.connection):
        for table in TABLES:
            every = f"select columns(*)::varchar from {table}"  # noqa: S608
            here, there = (one.connection.execute(every).fetchall() for one in (store, spoken))
            assert here == there, table


def test_words_are_in_the_language_spoken() -> None:
    with speaking(GERMAN):
        assert why_words("no-price") == "kein Preis bekannt ist"
        assert group_name("price-band", "100-200") == "100 bis 200"
        assert kind_name("robot") == "Roboter"
    assert group_name("price-band", "0.5-1") == "0.5 to 1"
    assert group_name("price-band", "1e-05-2e-05") == "0.00001 to 0.00002"


def test_several_codes_are_told_one_after_the_other() -> None:
    told = warning_words("few-machines|one-maker", only_maker="Maker One")

    assert told == "fewer than 5 machines; all of one maker, Maker One"
    assert warning_words(None) == ""


def test_what_the_bench_calls_its_own_stays_as_it_is() -> None:
    assert kind_name("window-cleaner") == "window cleaner"
    assert group_name("head", "rubber roller") == "rubber roller"


def test_a_code_without_words_is_our_own_fault() -> None:
    with pytest.raises(KeyError):
        term("why", "because")


@pytest.mark.parametrize("stage", ["view", "analyses"])
def test_no_text_is_surer_than_runs_can_make_it(stage: str) -> None:
    texts = [str(one.id) for one in catalogue([Path(str(files("trialpress") / stage))]) if one.id]

    assert [text for text in texts if SURER.search(text)] == []
    assert bool(texts) == (stage == "view")  # the analyses have no words
