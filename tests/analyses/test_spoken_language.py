"""What tables say of themselves is in the language that is spoken."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import closing
from datetime import date
from gettext import NullTranslations
from pathlib import Path

import pytest
from babel import Locale

from trialpress.analyses import work_out_analyses
from trialpress.bench import Bench
from trialpress.intake import read_bench
from trialpress.measure import measure_runs
from trialpress.results import work_out
from trialpress.store import Store, build_store
from trialpress.words import Language, speaking

SMALL = Bench(Path(__file__).parents[1] / "folders" / "base")
AS_OF = date(2031, 6, 1)
GERMAN = {
    "all its runs are void": "alle Läufe sind ungültig",
    "{low} to {high}": "{low} bis {high}",
    "fewer than {least} machines have one": "weniger als {least} Geräte haben einen",
}


class Translations(NullTranslations):
    """Translations by text."""

    def __init__(self, texts: Mapping[str, str]) -> None:
        super().__init__()
        self.texts = texts

    def gettext(self, message: str) -> str:
        return self.texts.get(message, message)


@pytest.fixture
def store() -> Iterator[Store]:
    """The small bench measured, with nothing but void runs of one set-up."""
    built = build_store(read_bench(SMALL, AS_OF), AS_OF)
    with closing(built.connection):
        built.connection.execute("update runs set status = 'void' where setup = 'two-stock'")
        measure_runs(built)
        yield built


def column(store: Store, sql: str) -> set[str]:
    return {text for (text,) in store.connection.execute(sql).fetchall()}


def test_reasons_that_sql_and_python_know_are_in_the_language_spoken(store: Store) -> None:
    with speaking(Language("de", Locale("de"), Translations(GERMAN))):
        work_out(store)
        work_out_analyses(store)

    assert column(store, "select why from not_ranked") == {"alle Läufe sind ungültig"}
    assert "100 bis 200" in column(store, "select price_band from machine_values")
    assert "100 bis 200" in column(store, "select level from association_groups")
    assert "weniger als 5 Geräte haben einen" in column(store, "select why from associations")


def test_without_a_translation_they_are_in_english(store: Store) -> None:
    work_out(store)
    work_out_analyses(store)

    assert column(store, "select why from not_ranked") == {"all its runs are void"}
    assert "100 to 200" in column(store, "select price_band from machine_values")


def test_every_code_of_the_models_becomes_words(store: Store) -> None:
    work_out(store)
    store.connection.execute("update setups set stock = false")
    store.connection.execute("update setups set machine = 'stick-one'")

    work_out_analyses(store)

    assert column(store, "select distinct why from machine_values") == {
        "none of its set-ups is as unboxed"
    }
    assert column(store, "select distinct why from setup_deltas") >= {
        "the set-up has no valid run in this series"
    }
