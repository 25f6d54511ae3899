"""Sentences on claims, prices, cuts and movements, word for word.

Spaces before units and minus signs are made plain.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from sentences.rows import CLAIM, FACTOR, MAKER, MOVED, NAMES, SINCE, STATED, UNTIL, VALUE, plain
from trialpress.analyses.cuts import CutRow
from trialpress.analyses.records import AirPowerRow, SpanRow
from trialpress.view.sentences import associations, claims, cuts, groups, movements, value


@pytest.mark.parametrize(
    ("changed", "expected"),
    [
        (
            {},
            (
                "Maker One Stick One claims rug 78 inH2O, that is 19.4 kPa (box, 1 February 2031); "
                "measured 55.2 % (as unboxed; difference -4.8, 95 % interval -6.1 to -3.5, "
                "corrected p 0.0003, 1 run): the specimen measured does not keep the claim."
            ),
        ),
        (
            {"difference_high": -0.5, "verdict": "cannot tell", "unit": "inH2O", "p_holm": 0.4},
            (
                "Maker One Stick One claims rug 78 inH2O (box, 1 February 2031); measured 55.2 % "
                "(as unboxed; difference -4.8, 95 % interval -6.1 to -0.5, corrected p 0.40, 1 "
                "run): cannot tell whether the claim is kept."
            ),
        ),
        (
            {"tolerance_pct": 5.0, "bound": 57.0, "difference": -1.8, "unit": "inH2O"}
            | {"difference_low": -3.1, "difference_high": -0.5}
            | {"held_against": "most-favourable", "candidates": 2},
            (
                "Maker One Stick One claims rug 78 inH2O within 5 % (box, 1 February 2031); "
                "measured 55.2 % (as unboxed, the most favourable of 2 set-ups as unboxed; "
                "difference -1.8 from the 57 % that would do, 95 % interval -3.1 to -0.5, "
                "corrected p 0.0003, 1 run): the specimen measured does not keep the claim."
            ),
        ),
        (
            {"difference_low": None, "verdict": "cannot tell", "unit": "inH2O"},
            (
                "Maker One Stick One claims rug 78 inH2O (box, 1 February 2031); measured 55.2 % "
                "(as unboxed, 1 run, no interval): cannot tell whether the claim is kept."
            ),
        ),
        (
            {"measured": None, "why": "not-measured-here", "value": None},
            (
                "Maker One Stick One claims rug 78 inH2O (box, 1 February 2031); not held against "
                "a measurement, as this bench does not measure it."
            ),
        ),
    ],
)
def test_claims(changed: dict[str, object], expected: str) -> None:
    assert plain(claims.claim_check(replace(CLAIM, **changed), NAMES)) == expected  # type: ignore[arg-type]


def test_air_power() -> None:
    point = AirPowerRow("one", "best", "box", date(2031, 2, 1), 10.0, 15.0, 150.0, 150.0, None)
    maxima = replace(point, operating_point=None, air_power_w=None, why="two-maxima")

    assert plain(claims.air_power(point, NAMES)) == (
        "Maker One Stick One states 10 kPa and 15 L/s at one operating point (box, 1 February "
        "2031): an air power of 150 W as stated."
    )
    assert plain(claims.air_power(maxima, NAMES)) == (
        "Maker One Stick One states 10 kPa and 15 L/s (box, 1 February 2031); their product, "
        "150 W, is no air power, as suction and airflow are separate greatest figures: suction is "
        "stated with the opening closed, airflow with it open, and no machine gives both at once."
    )


@pytest.mark.parametrize(
    ("changed", "expected"),
    [
        (
            {},
            (
                "for EUR 1,249 (5 January 2030); better than all of the 3 other set-ups that "
                "cost no "
                "more. The price is more than a year old."
            ),
        ),
        (
            {"front": "possible", "cost_no_more": 1, "is_price_old": False},
            (
                "for EUR 1,249 (5 January 2030); cannot tell whether the one other set-up that "
                "costs no "
                "more beats it."
            ),
        ),
        (
            {"front": "beaten", "beaten_by": "soft", "beaten_by_count": 1, "priced_on": None}
            | {"is_price_old": None},
            (
                "for EUR 1,249 (undated); Maker One Stick One (soft brushes) costs no more and is "
                "better."
            ),
        ),
        (
            {"front": "beaten", "beaten_by": "soft", "beaten_by_count": 3, "price": 89.9}
            | {"is_price_old": False},
            (
                "for EUR 89.90 (5 January 2030); Maker One Stick One (soft brushes) and 2 "
                "others cost "
                "no more and are better."
            ),
        ),
        (
            {"cost_no_more": 0, "is_price_old": False},
            (
                "for EUR 1,249 (5 January 2030); no other set-up with a comparable price costs as "
                "little."
            ),
        ),
    ],
)
def test_values(changed: dict[str, object], expected: str) -> None:
    told = plain(value.value(replace(VALUE, **changed), NAMES))  # type: ignore[arg-type]

    start = "Maker One Stick One (as unboxed), on Dust in a rug: 80.6 % (95 % interval 79.0 to 82.2"
    assert told == f"{start}, 3 runs) {expected}"


def test_a_value_that_is_not_compared() -> None:
    row = replace(VALUE, front=None, protocol="overall", version=0, n=None, why="no-price")

    foreign = replace(row, why="other-currency", currency="GBP")

    assert plain(value.value(foreign, NAMES)).endswith(
        "not compared by price, as its price is in GBP, and none is converted."
    )
    assert plain(value.value(row, NAMES)) == (
        "Maker One Stick One (as unboxed), on the overall: 80.6 % (95 % interval 79.0 to "
        "82.2); not "
        "compared by price, as no price is known."
    )


def test_cuts() -> None:
    inside = CutRow("soft", 1, 92.8, 92.8, 0.0, True, "possible", ("stock",))
    outside = CutRow("stock", 2, 92.1, 92.8, 0.7, False, "possible", ("soft",))
    both = [inside, outside]

    assert plain(cuts.top_cut(both, 1, ("rug", 1), 1, NAMES)) == (
        "Top 1 of 2 set-ups on Dust in a rug: Maker One Stick One (soft brushes) at 92.8; the cut "
        "is at 92.8 %. Just outside is Maker One Stick One (as unboxed), 0.7 points short; it "
        "cannot be told from 1 set-up inside."
    )
    assert plain(cuts.in_cut(replace(outside, top="out"), 2, ("rug", 1), 1, NAMES)) == (
        "Maker One Stick One (as unboxed) on Dust in a rug: place 2 of 2, outside the cut, 0.7 "
        "points short of it; the runs tell that it belongs outside."
    )
    assert plain(cuts.in_cut(replace(inside, top="certain"), 2, ("rug", 1), 1, NAMES)) == (
        "Maker One Stick One (soft brushes) on Dust in a rug: place 1 of 2, inside the cut, on its "
        "value; the runs tell that it belongs inside."
    )
    assert cuts.top_cut([], 3, ("rug", 1), 1, NAMES) == "On Dust in a rug there is none to cut."


def test_a_cut_beyond_the_last_is_one_of_all() -> None:
    only = CutRow("soft", 1, 92.8, 92.8, 0.0, True, "certain", ())

    assert plain(cuts.top_cut([only], 3, ("rug", 1), 1, NAMES)) == (
        "Top 1 of 1 set-up on Dust in a rug: Maker One Stick One (soft brushes) at 92.8; the cut "
        "is at 92.8 %."
    )


def test_who_could_swap() -> None:
    inside = CutRow("soft", 1, 92.8, 92.8, 0.0, True, "possible", ("stock",))
    outside = CutRow("stock", 2, 92.1, 92.8, 0.7, False, "possible", ("soft",))

    assert cuts.swaps([inside, outside], NAMES) == [
        "Maker One Stick One (soft brushes) could swap with Maker One Stick One (as unboxed)."
    ]
    assert cuts.swaps([replace(inside, top="certain", could_swap=())], NAMES) == []


def test_those_whom_the_same_could_replace_share_a_sentence_and_many_are_counted() -> None:
    others = ("stock",) * 7
    inside = [CutRow("soft", 1, 92.8, 92.8, 0.0, True, "possible", others)] * 2

    (sentence,) = cuts.swaps(inside, NAMES)

    assert sentence.startswith(
        "Maker One Stick One (soft brushes) and Maker One Stick One (soft brushes) could each swap"
    )
    assert sentence.count("(as unboxed)") == 4
    assert sentence.endswith(" and 3 more.")


def test_how_many_are_unbeaten_at_their_price() -> None:
    kinds = ("certain", "possible", "beaten", "beaten", None)
    rows = [replace(VALUE, front=kind, is_price_old=kind == "beaten") for kind in kinds]

    assert plain(value.front(rows, ("rug", 1), NAMES)) == (
        "On Dust in a rug 4 set-ups as unboxed have a comparable price: 1 shown to be unbeaten at "
        "that price, 1 where that cannot be told, 2 beaten by one that costs no more. 2 prices "
        "are more than a year old."
    )
    assert plain(value.front(rows[2:3], ("rug", 1), NAMES)) == (
        "On Dust in a rug 1 set-up as unboxed has a comparable price: 0 shown to be unbeaten at "
        "that price, 0 where that cannot be told, 1 beaten by one that costs no more. 1 price "
        "is more than a year old."
    )
    assert value.front(rows[4:], ("rug", 1), NAMES) == (
        "On Dust in a rug no set-up as unboxed has a comparable price."
    )


def test_how_many_claims_of_a_quantity_are_kept() -> None:
    rows = [
        replace(CLAIM, claim=f"c{i}", verdict=verdict)
        for i, verdict in enumerate(("kept", "not kept", "cannot tell", None))
    ]

    assert plain(claims.tally(rows, "run-time")) == (
        "4 claims of run time, by 1 machine. 3 of them are held against a measurement: 1 kept, 1 "
        "not kept, 1 where that cannot be told."
    )
    assert plain(claims.tally(rows[3:], "suction")) == (
        "1 claim of suction, by 1 machine. None is held against a measurement."
    )


@pytest.mark.parametrize(
    ("changed", "expected"),
    [
        (
            {},
            (
                "down from place 4 to 5, the runs leave places 1 to 13 open (before places 1 "
                "to 12); 1 "
                "newcomer before it; nothing new was measured of it."
            ),
        ),
        (
            {"change": "up", "place": 2, "new_runs": 3, "others_passed": 2, "place_worst": 12}
            | {"why": "protocol-change|new-runs|others-moved"},
            (
                "up from place 4 to 2, the runs leave places 1 to 12 open as before; a new "
                "version of "
                "the protocol joined the series, 3 new runs of its own, 2 others changed sides "
                "with it."
            ),
        ),
        (
            {"change": "new", "place_best_before": None, "place_best": 5, "place_worst": 5}
            | {"why": "new-series|new-runs", "new_runs": 1},
            (
                "new, in place 5, the runs leave place 5 open; the series is new, 1 new run of its "
                "own."
            ),
        ),
        (
            {"change": "gone", "place_best": None, "corrected_runs": 1, "why": "correction"},
            "no longer placed, before in place 4; 1 run of its own corrected.",
        ),
        (
            {"change": "stayed", "place_worst": 12, "why": None},
            (
                "still in place 5, the runs leave places 1 to 12 open as before; nothing new was "
                "measured."
            ),
        ),
    ],
)
def test_movements(changed: dict[str, object], expected: str) -> None:
    told = plain(movements.movement(replace(MOVED, **changed), NAMES))  # type: ignore[arg-type]

    assert told == f"Maker One Stick One (as unboxed), on Dust in a rug: {expected}"


def test_spans() -> None:
    assert plain(movements.span(SpanRow(SINCE, UNTIL, 3, None))) == (
        "Since 1 March 2031, over 3 bench days."
    )
    assert plain(movements.span(SpanRow(SINCE, UNTIL, 1, "had-faults"))) == (
        "Since 1 March 2031, over 1 bench day: the data as they stood then had faults, so that "
        "nothing could be published."
    )


def test_the_story_of_all_claims_counts_what_could_be_looked_at() -> None:
    rows = [replace(CLAIM, verdict=one) for one in ("kept", "not kept", "cannot tell", None)]

    assert plain(claims.claims_story(rows)) == (
        "Of 4 claims 3 could be held against a measurement: 1 kept, 1 not kept by the specimen "
        "measured, 1 where the runs cannot tell."
    )
    assert plain(claims.claims_story(rows[3:])) == (
        "Of 1 claim none is held against a measurement."
    )


def test_plain_words_on_stated_figures_say_cannot_once() -> None:
    rows = [
        STATED,
        replace(STATED, protocol="noise", relation="cannot tell"),
        replace(STATED, protocol="rug-old", relation="cannot tell"),
    ]

    goes, open_ = associations.stated_plainly(rows, NAMES)

    assert goes.startswith(
        "A big figure for rated power is shown to go with the results on Dust in a rug, up or "
        "down as below."
    )
    assert open_.count("cannot") == 1
    assert "on Noise or Dust in a rug" in open_


def test_moves_within_what_is_open_are_counted_and_told_to_say_nothing() -> None:
    assert movements.within_doubt(0) == ""
    assert movements.within_doubt(1).startswith("1 set-up changed its place within those that its")
    assert movements.within_doubt(7).endswith("that tells nothing of them.")


def test_headings_count_what_is_found_and_claim_nothing_that_is_open() -> None:
    held = [replace(CLAIM, verdict=one) for one in ("kept", "not kept", "cannot tell", None)]
    untold = replace(STATED, protocol="noise", relation="cannot tell")
    beside = replace(MAKER, relation="cannot tell")
    open_factor = replace(FACTOR, relation="cannot tell")

    assert claims.claims_finding(held) == (
        "Of 3 claims measured here 1 kept, 1 not kept, 1 not told"
    )
    assert claims.claims_finding(held[3:]) == "1 claim, not measured here"
    assert associations.stated_finding([STATED, untold]) == (
        "On 1 of 2 protocols a big figure for rated power is shown to go with the results"
    )
    assert associations.stated_finding([untold]) == (
        "On 1 protocol a big figure for rated power is not shown to go with the results"
    )
    assert associations.factors_finding([FACTOR, open_factor]) == (
        "Price is shown to go with these results"
    )
    assert associations.factors_finding([open_factor]) == (
        "Nothing asked here is shown to go with these results"
    )
    assert groups.field_finding([MAKER, beside]) == (
        "Against others of the same kinds: better on 0 of 2 protocols, worse on 1"
    )
    assert groups.field_finding([beside, beside]) == (
        "Not told from others of the same kinds on any of 2 protocols"
    )
