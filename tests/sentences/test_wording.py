"""Sentences on set-ups, makers and what goes with results, word for word.

Spaces before units and minus signs are made plain.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from sentences.rows import DELTA, FACTOR, GROUP, MAKER, NAMES, STATED, plain
from trialpress.view.results import MakerOverview
from trialpress.view.sentences import associations, groups, setups
from trialpress.words import figures


@pytest.mark.parametrize(
    ("changed", "expected"),
    [
        (
            {},
            (
                "Maker One Stick One on Dust in a rug: soft brushes is better than as unboxed, "
                "by 6.0 "
                "points (95 % interval 1.5 to 10.5, 3 and 4 runs)."
            ),
        ),
        (
            {"relation": "worse", "difference": -6.0, "low": -10.5, "high": -1.5, "other_n": 1},
            (
                "Maker One Stick One on Dust in a rug: soft brushes is worse than as unboxed, "
                "by 6.0 "
                "points (95 % interval 1.5 to 10.5, 3 and 1 run)."
            ),
        ),
        (
            {"difference": 1.0, "low": 0.2, "high": 1.8, "by_less_than_matters": True},
            (
                "Maker One Stick One on Dust in a rug: soft brushes is better than as unboxed, "
                "by 1.0 "
                "points (95 % interval 0.2 to 1.8, 3 and 4 runs), less than matters."
            ),
        ),
        (
            {"relation": "level", "difference": 0.1, "low": -0.5, "high": 0.7},
            (
                "Maker One Stick One on Dust in a rug: soft brushes and as unboxed are level; the "
                "difference is +0.1 points (95 % interval -0.5 to 0.7, 3 and 4 runs), all of "
                "it less "
                "than matters."
            ),
        ),
        (
            {"relation": "cannot tell", "difference": -0.04, "low": -3.0, "high": 2.9},
            (
                "Maker One Stick One on Dust in a rug: cannot tell soft brushes from as "
                "unboxed; the "
                "difference is 0.0 points (95 % interval -3.0 to 2.9, 3 and 4 runs)."
            ),
        ),
        (
            {"relation": "cannot tell", "difference": None, "low": None, "high": None}
            | {"why": "no-run"},
            (
                "Maker One Stick One on Dust in a rug: cannot tell soft brushes from as "
                "unboxed, as the "
                "set-up has no valid run in this series."
            ),
        ),
    ],
)
def test_set_ups(changed: dict[str, object], expected: str) -> None:
    assert plain(setups.setup_delta(replace(DELTA, **changed), NAMES)) == expected  # type: ignore[arg-type]


def test_a_pair_over_all_its_series() -> None:
    noise = replace(DELTA, protocol="noise", unit="dB(A)", relation="worse")
    old = replace(DELTA, protocol="rug-old", relation="cannot tell", low=-1.0)

    assert plain(setups.setup_pair([DELTA, noise, old], NAMES)) == (
        "Maker One Stick One, soft brushes against as unboxed: better on Dust in a rug, by 6.0 "
        "points (95 % interval 1.5 to 10.5, 3 and 4 runs); worse on Noise, by 6.0 dB(A) (95 % "
        "interval 1.5 to 10.5, 3 and 4 runs); cannot tell on Dust in a rug, version 1. They differ "
        "in brushes."
    )


@pytest.mark.parametrize(
    ("changed", "expected"),
    [
        (
            {},
            (
                "Maker One on Dust in a rug: its 6 machines are worse than the 30 others of the "
                "same kinds, by 10.0 points (95 % interval 4.0 to 15.0, corrected p 0.018). Of its "
                "180 pairs with set-ups of others, 20 are better, 100 worse, 1 level and 59 not "
                "told apart."
            ),
        ),
        (
            {"relation": "cannot tell", "shift_high": 1.0, "p_holm": 0.2, "pairs": 0}
            | {"warning": "few-machines|one-kind", "only_kind": "wet-dry"}
            | {"raw_shift": 2.5, "differs_from_raw": True},
            (
                "Maker One on Dust in a rug: its 6 machines cannot be told from the 30 others of "
                "the same kinds (shift -10.0 points, 95 % interval -15.0 to 1.0, corrected p "
                "0.20). Over all kinds together the difference is +2.5 points; kinds differ, so "
                "that this tells nothing of it. Beware: fewer than 5 machines; all of one kind, "
                "wet-dry."
            ),
        ),
        (
            {"relation": "cannot tell", "machines": 1, "others": 1, "shift_low": None}
            | {"why": "too-few-for-interval", "pairs": 1}
            | {"pairs_better": 0, "pairs_worse": 1, "pairs_level": 0},
            (
                "Maker One on Dust in a rug: its 1 machine cannot be told from the other "
                "machine of its kinds, as there are too few machines for an interval. Its 1 pair "
                "with a set-up of another maker is worse."
            ),
        ),
        (
            {"relation": "cannot tell", "others": 0, "shift": None, "pairs": 0}
            | {"why": "no-other-of-its-kinds"},
            (
                "Maker One on Dust in a rug: its 6 machines cannot be told from others, as there "
                "is no other machine of its kind."
            ),
        ),
    ],
)
def test_makers_against_the_field(changed: dict[str, object], expected: str) -> None:
    row = replace(MAKER, **changed)  # type: ignore[arg-type]

    assert plain(groups.maker_against_field(row, NAMES)) == expected


def test_the_overview_of_a_maker_tells_how_many_were_tried() -> None:
    row = MakerOverview("maker", "rug", 1, 5, "stock", 91.1, 90.3, 82.3, 2, "%", 1)

    assert plain(groups.maker_overview(row, 5, NAMES)) == (
        "Maker One on Dust in a rug: 5 set-ups tried: best 91.1, median 90.3, worst 82.3 %; 2 of 5 "
        "in the top 5."
    )
    assert plain(groups.maker_overview(replace(row, setups=1, in_top_cut=0), 5, NAMES)) == (
        "Maker One on Dust in a rug: 1 set-up tried, 91.1 %; 0 of 1 in the top 5."
    )


@pytest.mark.parametrize(
    ("changed", "expected"),
    [
        (
            {},
            (
                "The price goes with the results on Dust in a rug over 31 machines of 11 makers "
                "(within kinds rho -0.46, 95 % interval -0.69 to -0.15, corrected p 0.018): the "
                "higher it is, the lower the value. That does not make it the cause. 1 machine is "
                "left out, as nothing is known of it there."
            ),
        ),
        (
            {"effect": 0.4, "effect_low": 0.1, "effect_high": 0.6, "left_out": 0}
            | {"raw_effect": -0.53, "differs_from_raw": True},
            (
                "The price goes with the results on Dust in a rug over 31 machines of 11 makers "
                "(within kinds rho 0.40, 95 % interval 0.10 to 0.60, corrected p 0.018): the "
                "higher it is, the higher the value. That does not make it the cause. Over all "
                "kinds together the effect is rho -0.53; kinds differ in both, so that this tells "
                "nothing of it."
            ),
        ),
        (
            {"factor": "head", "effect_name": "eta squared", "groups": 4, "left_out": 0}
            | {"effect": 0.02, "effect_low": None, "effect_high": None}
            | {"relation": "cannot tell", "p_fdr": 1.0, "groups_small": 2}
            | {"warning": "few-makers|small-groups", "makers": 5},
            (
                "Whether the head goes with the results on Dust in a rug cannot be told from "
                "31 machines of 5 makers in 4 groups (within kinds eta squared 0.02, no interval, "
                "corrected p 1.00). Beware: machines of fewer than 6 makers, too few to tell "
                "anything; 2 of 4 groups with fewer than 5 machines."
            ),
        ),
        (
            {"factor": "kind", "effect_name": "eta squared", "groups": 4, "left_out": 0}
            | {"effect": 0.62, "effect_low": None, "effect_high": None},
            (
                "The kind of machine goes with the results on Dust in a rug over 31 machines of "
                "11 makers in 4 groups (eta squared 0.62, no interval, corrected p 0.018). That "
                "does not make it the cause."
            ),
        ),
        (
            {"effect": None, "relation": "cannot tell", "left_out": 0, "why": "too-few-machines"},
            (
                "Whether the price goes with the results on Dust in a rug cannot be told, as "
                "fewer than 5 machines can be compared."
            ),
        ),
    ],
)
def test_what_goes_with_results(changed: dict[str, object], expected: str) -> None:
    assert plain(associations.association(replace(FACTOR, **changed), NAMES)) == expected  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("changed", "expected"),
    [
        (
            {},
            (
                "On Dust in a rug, head rubber roller: 5 machines, median 70.0 % (60.0 to 75.0), "
                "are better than the 20 others of the same kinds, by 8.0 points (95 % interval "
                "2.0 to 14.0, corrected p under 0.0001)."
            ),
        ),
        (
            {"factor": "price-band", "level": "100-200", "machines": 1, "others": 1}
            | {"relation": "cannot tell", "shift_low": None, "why": "one-maker-decides"}
            | {"warning": "few-machines|one-maker", "only_maker": "maker"},
            (
                "On Dust in a rug, price band 100 to 200: 1 machine, 70.0 %, cannot be told from "
                "the other machine of its kinds, as without one of the makers there is nothing to "
                "compare. Beware: fewer than 5 machines; all of one maker, Maker One."
            ),
        ),
        (
            {"factor": "kind", "level": "wet-dry", "relation": "worse", "shift": -8.0}
            | {"shift_low": -14.0, "shift_high": -2.0},
            (
                "On Dust in a rug, kind of machine wet-dry: 5 machines, median 70.0 % (60.0 to "
                "75.0), are worse than the 20 others, by 8.0 points (95 % interval 2.0 to 14.0, "
                "corrected p under 0.0001)."
            ),
        ),
    ],
)
def test_a_group_of_machines(changed: dict[str, object], expected: str) -> None:
    assert plain(groups.association_group(replace(GROUP, **changed), NAMES)) == expected  # type: ignore[arg-type]


def test_a_stated_figure_and_results() -> None:
    assert plain(associations.claim_association(STATED, NAMES)) == (
        "The rated power stated goes with the results on Dust in a rug over 9 machines of 8 makers "
        "(within kinds rho 0.99, 95 % interval 0.94 to 1.00, corrected p 0.0001): the higher it "
        "is, the higher the value. That does not make it the cause."
    )


@pytest.mark.parametrize(
    ("p", "expected"),
    [
        (0.0, "p under 0.0001"),
        (0.0001, "p 0.0001"),
        (0.0286, "p 0.029"),
        (0.5, "p 0.50"),
        (1.0, "p 1.00"),
    ],
)
def test_a_p_value_is_never_rounded_to_nothing(p: float, expected: str) -> None:
    assert figures.p_value(p) == expected


def test_figures_have_a_true_minus_and_no_negative_zero() -> None:
    assert [figures.signed(figure, 1) for figure in (-1.25, -0.04, 0.0, 2.0)] == [
        f"{figures.MINUS}1.2",
        "0.0",
        "0.0",
        "+2.0",
    ]
    assert figures.three_digits(1014.4) == "1014"
    assert figures.three_digits(0.012345) == "0.0123"
