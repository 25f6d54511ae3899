"""Charts in another language: its words, and its decimal and group signs."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from gettext import NullTranslations

import pytest
from babel import Locale

from charts.hand_filled import CARPET, Entry, SeriesRow, overall_row, view_of
from charts.test_drift import FIRST as REFERENCE_RUN
from charts.test_drift import KEY as REFERENCE
from charts.test_factors import drawn as factors_of
from charts.test_factors import machine
from charts.test_ladders import layouts, rows, texts
from charts.test_scatter import filled as priced
from trialpress.charts import Chart, draw_charts
from trialpress.words import ENGLISH, Language, speaking

GERMAN_TEXTS = {
    "Places the runs\ndo not rule out": "Plätze, die die Läufe\nnicht ausschließen",
    "in {unit} (higher is better)": "in {unit} (höher ist besser)",
    "{series}: values and places": "{series}: Werte und Plätze",
    "Overall: values and places": "Gesamt: Werte und Plätze",
    "{series}: results against prices": "{series}: Ergebnisse gegen Preise",
    "place {place}": "Platz {place}",
    "The mean of every day, and its limits": "Das Mittel jedes Tages",
    "Moving average, and its limits": "Gleitendes Mittel und seine Grenzen",
    "{count} day of the reference in their order, none of them out of line.": (
        "Tage der Referenz der Reihe nach, {count} im Ganzen."
    ),
    "nobody beats it at its price": "zu seinem Preis von keinem geschlagen",
    "Kind of machine": "Art des Geräts",
    "robot": "Roboter",
    "{low} to {high}": "{low} bis {high}",
    "Overall": "Gesamt",
}
NARROW_SPREAD = Entry("one-stock", 94.0, 93.8, 94.2, (1, 1))
THOUSANDS = Entry("one-stock", 5400.5, 5000.0, 5800.0, (1, 1))


class Translated(NullTranslations):
    """Texts by their English; one form for all numbers."""

    def gettext(self, message: str) -> str:
        return GERMAN_TEXTS.get(message, message)

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return GERMAN_TEXTS.get(msgid1) or super().ngettext(msgid1, msgid2, n)


GERMAN = Language("de", Locale("de"), Translated())


def carpet(entry: Entry = NARROW_SPREAD, series: SeriesRow = CARPET) -> Chart:
    return draw_charts(view_of((entry,), series=(series,))).standings["carpet", 1]


def reference() -> Chart:
    view = view_of((NARROW_SPREAD,), drift=(REFERENCE_RUN,))
    return draw_charts(view).drift[REFERENCE]


def in_german(draw: Callable[[], Chart]) -> Chart:
    with speaking(GERMAN):
        return draw()


def lines(svg: str) -> set[str]:
    """Every line of every text of a picture."""
    return set(re.findall(r">([^<>]+)</(?:text|tspan)>", svg))


def figures_of(svg: str) -> set[str]:
    """The figures of a picture that have a sign inside."""
    return {text for text in texts(svg) if re.fullmatch(r"\d+[.,]\d+", text)}


@pytest.mark.parametrize("layout", [0, 1], ids=["wide", "narrow"])
def test_a_ladder_has_the_words_of_the_language_and_english_ones_before_and_after(
    layout: int,
) -> None:
    before = carpet()
    german = in_german(carpet)
    after = carpet()

    assert german.title == "Dust from carpet: Werte und Plätze"
    assert {"Plätze, die die Läufe", "in % (höher ist besser)"} <= lines(layouts(german)[layout])
    assert "Places the runs" not in lines(layouts(german)[layout])
    assert after == before
    assert {"Places the runs", "in % (higher is better)"} <= lines(layouts(after)[layout])


def test_axes_and_readings_have_the_decimal_sign_of_the_language() -> None:
    english, german = carpet(), in_german(carpet)

    for one, other in zip(layouts(english), layouts(german), strict=True):
        assert figures_of(one)
        assert figures_of(other) == {figure.replace(".", ",") for figure in figures_of(one)}
    assert rows(german.vega)[0]["reading"] == (
        "Ostrel One (as unboxed): 94,0\N{NO-BREAK SPACE}% (93,8 bis 94,2), Platz 1"
    )


def test_axes_have_the_group_sign_of_the_language() -> None:
    assert "5,200" in figures_of(carpet(THOUSANDS).svg)
    assert "5.200" in figures_of(in_german(lambda: carpet(THOUSANDS)).svg)


def test_a_browser_is_told_the_signs_where_they_are_not_english() -> None:
    english, german = carpet(), in_german(carpet)

    for vega in (german.vega, german.vega_narrow):
        assert '"locale": {"number": {"decimal": ",", "thousands": "."' in json.dumps(vega)
    for vega in (english.vega, english.vega_narrow):
        assert "locale" not in json.dumps(vega)


def test_a_control_chart_has_its_headings_in_the_language() -> None:
    before, german, after = reference(), in_german(reference), reference()

    assert {"Das Mittel jedes Tages", "Gleitendes Mittel und seine Grenzen"} <= set(
        texts(german.svg)
    )
    assert german.description == "Tage der Referenz der Reihe nach, 1 im Ganzen."
    assert after == before


def test_a_changed_translation_is_drawn_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    in_german(carpet)
    monkeypatch.setitem(GERMAN_TEXTS, "Places the runs\ndo not rule out", "Mögliche\nPlätze")

    assert "Mögliche" in lines(in_german(carpet).svg)


def test_the_overall_has_its_name_in_the_language() -> None:
    overall = [overall_row(NARROW_SPREAD, 1, place=1)]

    with speaking(GERMAN):
        chart = draw_charts(view_of((NARROW_SPREAD,), overall=overall)).overall

    assert chart is not None
    assert chart.title == "Gesamt: Werte und Plätze"


def test_prices_are_written_and_judged_in_the_language() -> None:
    chart = in_german(lambda: draw_charts(priced()).values["carpet", 1])

    readings = " ".join(row["reading"] for row in rows(chart.vega))
    assert chart.title == "Dust from carpet: Ergebnisse gegen Preise"
    assert "zu seinem Preis von keinem geschlagen" in readings
    assert "EUR 1.399" in readings


def test_kinds_are_named_in_the_language_and_told_apart_by_code() -> None:
    with speaking(GERMAN):
        kinds, prices = factors_of(machine("one", 94.0, "robot", 100)).strips

    assert [line.label for line in (*kinds.lines, *prices.lines)] == [
        "Roboter (1)",
        "100 bis 200 (1)",
    ]
    assert kinds.title == "Art des Geräts"


def test_english_is_spoken_where_nothing_is_said() -> None:
    with speaking(ENGLISH):
        told = carpet()

    assert told == carpet()
