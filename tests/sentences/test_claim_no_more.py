"""No sentence says more than its interval allows, whatever the figures are."""

from __future__ import annotations

import re
from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from sentences.rows import CLAIM, DELTA, FACTOR, MAKER, MOVED, NAMES, VALUE, plain, setup
from trialpress.analyses.claims import verdict
from trialpress.analyses.cuts import Entrant, SeriesOrder, cut
from trialpress.analyses.machines import Contrast, relation_of
from trialpress.results.separation import relation_of as relation_of_pair
from trialpress.view.sentences import associations, claims, cuts, groups, movements, setups, value

FIGURES = st.integers(-300, 300).map(lambda tenths: tenths / 10)
INTERVALS = st.tuples(FIGURES, FIGURES, FIGURES).map(sorted)
DIRECTION = st.sampled_from(["higher", "lower"])
VERDICT = re.compile(r"\b(better|worse|level)\b")
INTERVAL = re.compile(r"95 % interval (-?[0-9.]+) to (-?[0-9.]+)")


def intervals_in(told: str) -> list[tuple[float, float]]:
    """Both ends of every interval in a sentence."""
    return [(float(low), float(high)) for low, high in INTERVAL.findall(plain(told))]


@given(INTERVALS, st.integers(1, 9), st.integers(1, 9), DIRECTION)
def test_set_ups_are_told_apart_only_where_the_interval_excludes_nothing(
    ends: list[float], n: int, other_n: int, better: str
) -> None:
    low, difference, high = ends
    relation = relation_of_pair(low, high, 2.0, higher_is_better=better == "higher").value
    row = replace(
        DELTA, low=low, high=high, difference=difference, relation=relation, n=n, other_n=other_n
    )

    told = setups.setup_delta(row, NAMES)

    said = set(VERDICT.findall(told))
    if low <= 0 <= high:
        assert not said & {"better", "worse"}
    else:
        word = "better" if (low > 0) == (better == "higher") else "worse"
        assert said - {word} <= {"level"}
    if "level" in said:
        assert -2.0 <= low <= high <= 2.0
    assert f"{n} and {other_n}" in told
    ends_told = (-high, -low) if "worse" in said else (low, high)  # by how much it is worse
    if better == "lower" and said & {"better", "worse"}:
        ends_told = (-ends_told[1], -ends_told[0])
    assert intervals_in(told) == [ends_told]


@given(INTERVALS, st.floats(0, 1), st.integers(1, 9), DIRECTION)
def test_makers_are_told_apart_only_where_interval_and_corrected_test_agree(
    ends: list[float], p_holm: float, machines: int, better: str
) -> None:
    low, shift, high = ends
    found = Contrast(shift, low, high, 0.0, None, None, p_holm, None)
    relation = relation_of(found, p_holm, 0.95, higher_is_better=better == "higher")
    row = replace(
        MAKER, shift=shift, shift_low=low, shift_high=high, p_holm=p_holm, relation=relation,
        machines=machines, pairs=0,
    )  # fmt: skip

    told = groups.maker_against_field(row, NAMES)

    if low <= 0 <= high or p_holm >= 0.05:
        assert not VERDICT.search(told)
        assert "cannot be told" in told
        assert intervals_in(told) == [(low, high)]
    else:
        word = "better" if (low > 0) == (better == "higher") else "worse"
        assert VERDICT.findall(told) == [word]
        assert intervals_in(told) == [(low, high) if low > 0 else (-high, -low)]
    assert f"{machines} machine" in told.replace("\N{NO-BREAK SPACE}", " ")


@given(INTERVALS, DIRECTION)
def test_a_claim_is_kept_or_not_only_where_the_whole_interval_says_so(
    ends: list[float], better: str
) -> None:
    low, difference, high = ends
    row = replace(
        CLAIM,
        difference=difference,
        difference_low=low,
        difference_high=high,
        verdict=verdict(low, high, higher_is_better=better == "higher"),
    )

    told = claims.claim_check(row, NAMES)

    worst, best = (low, high) if better == "higher" else (-high, -low)
    kept, not_kept = "specimen measured keeps the", "specimen measured does not keep the"
    said = [
        words for words in (kept, not_kept, "cannot tell whether the") if f"{words} claim" in told
    ]
    if worst >= 0:
        assert said == [kept]
    elif best < 0:
        assert said == [not_kept]
    else:
        assert said == ["cannot tell whether the"]
    assert intervals_in(told) == [(low, high)]


@given(st.sampled_from(["goes with", "cannot tell"]), st.floats(-1, 1), st.floats(0, 1))
def test_an_association_is_told_only_where_the_row_tells_it_and_never_as_a_cause(
    relation: str, effect: float, p_holm: float
) -> None:
    row = replace(FACTOR, relation=relation, effect=effect, p_holm=p_holm)

    told = associations.association(row, NAMES)

    assert told.startswith("Whether") == (relation == "cannot tell")
    assert ("That does not make it the cause." in told) == (relation == "goes with")
    assert intervals_in(told) == [(FACTOR.effect_low, FACTOR.effect_high)]


@given(st.sampled_from(["certain", "possible", "beaten", None]), st.integers(0, 9))
def test_only_who_is_certain_is_called_better_and_only_who_is_beaten_beaten(
    front: str | None, others: int
) -> None:
    beaten = front == "beaten"
    row = replace(
        VALUE,
        front=front,
        cost_no_more=max(others, 1) if beaten else others,
        beaten_by="soft" if beaten else None,
        beaten_by_count=max(others, 1) if beaten else 0,
        why="no price is known",
    )

    told = value.value(row, NAMES)

    if front in {"possible", None}:
        assert "better" not in told
    if front == "certain":
        assert "and is better" not in told
        assert "are better" not in told
    assert intervals_in(told) == [(VALUE.low, VALUE.high)]


@given(st.lists(st.integers(0, 12), min_size=1, max_size=8), st.integers(1, 9), st.integers(0, 5))
def test_no_doubt_about_a_cut_is_left_only_where_no_pair_across_it_is_open(
    means: list[int], first: int, least: int
) -> None:
    entrants = [Entrant(f"s{i}", float(m)) for i, m in enumerate(sorted(means, reverse=True))]
    told = {(a.setup, b.setup) for a in entrants for b in entrants if a.mean - b.mean > least}
    names = replace(NAMES, setups={one.setup: setup(one.setup, one.setup) for one in entrants})
    rows = cut(entrants, told, first, SeriesOrder(higher_is_better=True, decimals=1))

    said = cuts.swaps(rows, names)

    for row in rows:
        text = cuts.in_cut(row, len(rows), ("rug", 1), 1, names)
        is_open = any(
            pair not in told
            for other in rows
            if other.is_inside is not row.is_inside
            for pair in [(row.setup, other.setup) if row.is_inside else (other.setup, row.setup)]
        )
        if "the runs tell that" in text:
            assert not is_open
        assert any(f"({row.setup}) could swap" in one for one in said) == (
            is_open and row.is_inside
        )


@given(
    st.sampled_from(["new", "up", "down", "stayed", "gone"]), st.integers(1, 9), st.integers(1, 9)
)
def test_a_move_of_a_place_is_never_told_as_getting_better(
    change: str, place: int, before: int
) -> None:
    told = movements.movement(
        replace(MOVED, change=change, place=place, place_before=before), NAMES
    )

    assert not VERDICT.search(told)
    assert "open" in told
