"""Numbers, dates and verdicts, word for word."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trialpress.site import wording
from trialpress.view import verdicts
from trialpress.view.verdicts import Verdict
from trialpress.words import figures

NBSP = "\N{NO-BREAK SPACE}"
MINUS = "\N{MINUS SIGN}"
DASH = "\N{EN DASH}"


@pytest.mark.parametrize(
    ("value", "decimals", "text"),
    [
        (93.4, 1, "93.4"),
        (93.0, 1, "93.0"),
        (-0.32, 2, f"{MINUS}0.32"),
        (-0.0, 1, "0.0"),
        (-0.04, 1, "0.0"),
        (100.0, 0, "100"),
    ],
)
def test_a_figure_keeps_its_published_decimals_and_has_a_true_minus_sign(
    value: float, decimals: int, text: str
) -> None:
    assert figures.number(value, decimals) == text


@given(st.floats(-1e6, 1e6), st.integers(0, 6))
def test_a_worded_figure_reads_back_as_the_same_figure(value: float, decimals: int) -> None:
    published = round(value, decimals)

    assert float(figures.number(published, decimals).replace(MINUS, "-")) == published


@pytest.mark.parametrize(
    ("value", "text"), [(0.5, "0.5"), (20.0, "20"), (1200.0, "1200"), (-3.25, f"{MINUS}3.25")]
)
def test_a_catalogue_figure_has_the_digits_it_needs(value: float, text: str) -> None:
    assert figures.typed_number(value) == text


def test_a_formula_has_the_signs_of_print() -> None:
    assert wording.formula("mean +- 2 * 0.38^2") == "mean ± 2 \N{MULTIPLICATION SIGN} 0.38²"


def test_an_uncertainty_is_unknown_or_too_small_to_show_and_says_so() -> None:
    assert wording.uncertainty(None, 2) == "unknown"
    assert wording.uncertainty(0.03, 2) == "0.03"
    assert wording.uncertainty(0.0, 2) == "under 0.005"
    assert wording.uncertainty(0.0, 0) == "under 0.5"


def test_intervals_name_both_ends() -> None:
    assert figures.interval(92.2, 94.6, 1) == "92.2 to 94.6"
    assert figures.interval(-1.2, 0.5, 1) == f"{MINUS}1.2 to 0.5"


def test_places_are_a_range_or_one() -> None:
    assert figures.places(4, 9) == f"4{DASH}9"
    assert figures.places(4, 4) == "4"
    assert figures.places_spoken(4, 9) == "places 4 to 9"
    assert figures.places_spoken(4, 4) == "place 4"


def test_ordinals() -> None:
    places = (1, 2, 3, 4, 10, 11, 12, 13, 21, 22, 23, 101, 111)

    assert " ".join(map(figures.ordinal, places)) == (
        "1st 2nd 3rd 4th 10th 11th 12th 13th 21st 22nd 23rd 101st 111th"
    )


def test_counts_have_their_plural_and_a_comma_in_thousands() -> None:
    assert figures.count(0, "run", "runs") == f"0{NBSP}runs"
    assert figures.count(1, "run", "runs") == f"1{NBSP}run"
    assert figures.count(1204, "run", "runs") == f"1,204{NBSP}runs"
    assert figures.count(2, "series", "series") == f"2{NBSP}series"


def test_lists_of_names() -> None:
    assert figures.listing([]) == ""
    assert figures.listing(["A"]) == "A"
    assert figures.listing(["A", "B"]) == "A and B"
    assert figures.listing(["A", "B", "C"], "or") == "A, B or C"


def test_money_names_its_currency() -> None:
    assert figures.money(1249.0, "EUR") == f"EUR{NBSP}1,249"
    assert figures.money(89.9, "EUR") == f"EUR{NBSP}89.90"


def test_dates_are_the_same_whatever_the_locale() -> None:
    assert figures.day(date(2031, 3, 2)) == "2 March 2031"
    assert figures.moment("2031-03-02T19:05") == "2 March 2031, 19:05"
    assert figures.moment("2031-03-02") == "2 March 2031"


def test_shares_and_sizes() -> None:
    assert figures.percent(0.95) == f"95{NBSP}%"
    assert figures.percent(0.995) == f"99.5{NBSP}%"
    assert wording.share(2, 5) == "2 of 5"
    assert figures.file_size(1) == f"1{NBSP}byte"
    assert figures.file_size(12_400) == f"12.4{NBSP}kB"
    assert figures.file_size(3_060_000) == f"3.1{NBSP}MB"


def test_a_typed_phrase_becomes_a_sentence() -> None:
    assert wording.sentence("all its runs are void") == "All its runs are void."
    assert wording.sentence("Really?") == "Really?"
    assert wording.sentence("photos/after.jpg says more") == "photos/after.jpg says more."
    assert wording.sentence("") == ""


def test_relations_have_a_shape_and_a_word_each() -> None:
    kinds = ("first", "better", "level", "cannot tell", "worse")

    assert [verdicts.relation(kind) for kind in kinds] == [
        Verdict("first", "first by mean"),
        Verdict("better", "better"),
        Verdict("level", "level"),
        Verdict("cannot-tell", "cannot tell"),
        Verdict("worse", "worse"),
    ]
    assert verdicts.relation("worse", is_by_less_than_matters=True).words == (
        "worse, by less than matters"
    )


def test_the_top_cut_is_never_called_surer_than_it_is() -> None:
    assert verdicts.top_cut("certain") == Verdict("in", "in")
    assert verdicts.top_cut("possible") == Verdict("perhaps", "may be in")
    assert verdicts.top_cut("out") == Verdict("out", "not in")
    assert verdicts.cut_words(5) == "the top 5"
    assert verdicts.cut_words(1) == "first place"


def test_flags_are_told_for_one_run_and_counted_for_a_cell() -> None:
    assert verdicts.flag_words("corrected|over-recovered") == (
        "corrected",
        "over-recovered: more came back than was spread",
    )
    assert verdicts.flag_words("") == ()
    assert verdicts.flag_words("lid-open") == ("lid open",)
    assert verdicts.flag_counts(["over-recovered", "", "corrected|over-recovered"]) == (
        f"corrected: 1 of 3{NBSP}runs",
        f"over-recovered: 2 of 3{NBSP}runs",
    )


def test_a_standing_on_few_runs_says_so_in_words() -> None:
    def marks(*true: str) -> tuple[str, ...]:
        names = ("is_provisional", "is_on_one_run", "is_in_one_sitting", "is_unusually_spread")
        return verdicts.standing_marks(**{name: name in true for name in names})

    assert marks("is_provisional", "is_on_one_run", "is_in_one_sitting", "is_unusually_spread") == (
        "provisional",
        "on one run",  # which is one sitting
        "its runs scatter out of line",
    )
    assert marks("is_in_one_sitting") == ("in one sitting",)
    assert marks() == ()
