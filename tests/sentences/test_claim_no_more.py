"""No sentence says more than its interval allows, whatever the figures are."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from sentences.rows import (
    CLAIM,
    DELTA,
    DRIFT,
    FACTOR,
    GROUP,
    MAKER,
    MOVED,
    NAMES,
    STANDING,
    VALUE,
    plain,
    setup,
)
from trialpress.analyses.claim_checks import check_claims
from trialpress.analyses.claims import Measured, StatedClaim
from trialpress.analyses.codes import Together
from trialpress.analyses.cuts import Entrant, SeriesOrder, cut
from trialpress.analyses.effects import Effect
from trialpress.analyses.family import benjamini_hochberg, holm, told_together
from trialpress.analyses.machines import side_of
from trialpress.analyses.ranks import Estimate
from trialpress.analyses.records import AssociationGroupRow, MakerFieldRow
from trialpress.results.separation import relation_of as relation_of_pair
from trialpress.site.tallies import tally_of
from trialpress.view import verdicts
from trialpress.view.comparisons import could_matter
from trialpress.view.sentences import (
    associations,
    claims,
    cuts,
    groups,
    movements,
    setups,
    value,
    watch,
)
from trialpress.view.sentences.chance import chance_beside_range

FIGURES = st.integers(-300, 300).map(lambda tenths: tenths / 10)
INTERVALS = st.tuples(FIGURES, FIGURES, FIGURES).map(sorted)
DIRECTION = st.sampled_from(["higher", "lower"])
VERDICT = re.compile(r"\b(better|worse|level)\b")
KEEPS, BREAKS = "specimen measured keeps the claim", "specimen measured does not keep the claim"
OPEN = "cannot tell whether the claim"
DAY = date(2031, 2, 1)
SHARES = st.integers(0, 1000).map(lambda thousandths: thousandths / 1000)
INTERVAL = re.compile(r"95 % interval (-?[0-9.]+) to (-?[0-9.]+)")

MEASURED = Measured(
    protocol="rug",
    version=1,
    setup="stock",
    machine="one",
    is_as_unboxed=True,
    is_only_one_as_unboxed=True,
    mean=0.0,
    low=0.0,
    high=0.0,
    interval_se=0.0,
    df=10,
    n=3,
    unit="%",
    higher_is_better=True,
    decimals=1,
    why=None,
)


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
        assert said == ({"level"} if low >= -2.0 and high <= 2.0 else set())
        assert ("cannot tell" in told) != ("level" in said)
    else:
        assert said == {"better" if (low > 0) == (better == "higher") else "worse"}
    assert f"{n} and {other_n}" in told
    ends_told = (-high, -low) if "worse" in said else (low, high)  # by how much it is worse
    if better == "lower" and said & {"better", "worse"}:
        ends_told = (-ends_told[1], -ends_told[0])
    assert intervals_in(told) == [ends_told]


@given(INTERVALS, st.floats(0, 1), st.sampled_from([MAKER, GROUP]), DIRECTION)
def test_groups_are_told_apart_only_where_interval_and_corrected_test_agree(
    ends: list[float], p: float, plain_row: MakerFieldRow | AssociationGroupRow, better: str
) -> None:
    low, shift, high = ends
    side = side_of(low, high, higher_is_better=better == "higher")
    column = "p_holm" if plain_row is MAKER else "p_fdr"
    bare = replace(
        plain_row, shift=shift, shift_low=low, shift_high=high, p=p, relation=side, raw_shift=-shift
    )
    (row,) = told_together([bare], 0.95, holm, column)

    told = _group_words(row)

    if low <= 0 <= high or p >= 0.05:
        assert not VERDICT.search(told)
        assert "cannot be told" in told
        assert intervals_in(told) == [(low, high)]
    else:
        word = "better" if (low > 0) == (better == "higher") else "worse"
        assert VERDICT.findall(told) == [word]
        assert intervals_in(told) == [(low, high) if low > 0 else (-high, -low)]
    assert f"{row.machines} machines" in plain(told)


def _group_words(row: MakerFieldRow | AssociationGroupRow) -> str:
    if isinstance(row, MakerFieldRow):
        return groups.maker_against_field(replace(row, pairs=0), NAMES)
    return groups.association_group(row, NAMES)


@given(INTERVALS, st.floats(-100, 100), st.integers(1, 6), DIRECTION)
def test_a_claim_is_kept_or_not_only_where_interval_and_corrected_test_agree(
    ends: list[float], stated: float, claimed: int, better: str
) -> None:
    low, mean, high = (stated + end for end in ends)
    measured = replace(
        MEASURED, mean=mean, low=low, high=high, interval_se=(high - low) / 4,
        higher_is_better=better == "higher",
    )  # fmt: skip
    made = [
        StatedClaim(f"c{i}", "one", None, "maker", "rug", stated, "%", 0, "box", DAY, True, True)
        for i in range(claimed)
    ]

    row = check_claims(made, [measured], 0.95)[0]
    told = claims.claim_check(row, NAMES)

    worst, best = (
        (low - stated, high - stated) if better == "higher" else (stated - high, stated - low)
    )
    p = row.p_holm
    is_told = p is not None and p <= 0.05
    if is_told and worst >= 0:
        expected = KEEPS
    elif is_told and best < 0:
        expected = BREAKS
    else:
        expected = OPEN
    said = [words for words in (KEEPS, BREAKS, OPEN) if words in told]
    assert said == [expected]
    printed = intervals_in(told)
    assert len(printed) == (low < high)
    for printed_low, printed_high in printed:
        signed_worst, signed_best = (
            (printed_low, printed_high) if better == "higher" else (-printed_high, -printed_low)
        )
        if said == [KEEPS]:
            assert signed_worst >= 0
        if said == [BREAKS] and abs(best) >= 1e-4:
            assert signed_best < 0


@given(INTERVALS.map(lambda ends: [end / 31 for end in ends]), st.floats(0, 1))
def test_an_association_is_told_only_where_interval_and_corrected_test_agree_never_as_a_cause(
    ends: list[float], p: float
) -> None:
    low, rho, high = (round(end, 2) for end in ends)
    effect = Effect(Estimate(rho, low, high), p)
    bare = replace(
        FACTOR, effect=rho, effect_low=low, effect_high=high, p=p, relation=effect.relation
    )
    (row,) = told_together([bare], 0.95, benjamini_hochberg, "p_fdr")

    told = associations.association(row, NAMES)

    is_open = low <= 0 <= high or p >= 0.05
    assert told.startswith("Whether") == is_open
    assert ("That does not make it the cause." in told) != is_open
    direction = re.findall("the higher it is, the (higher|lower) the value", told)
    assert direction == ([] if is_open else ["higher" if low > 0 else "lower"])
    assert intervals_in(told) == [(low, high)]


@given(st.lists(st.sampled_from(Together), max_size=4))
def test_plain_words_name_as_going_with_results_what_is_shown_to_and_nothing_else(
    relations: list[Together],
) -> None:
    names = ["head", "mop", "kind", "price"]
    rows = [
        replace(FACTOR, factor=factor, relation=relation)
        for factor, relation in zip(names, relations, strict=False)
    ]

    told = " ".join(associations.factors_plainly(rows))

    goes, _, open_ = told.partition("The runs cannot tell it of ")
    for row in rows:
        is_shown = row.relation is not Together.CANNOT_TELL
        assert (row.factor in goes) == is_shown
        assert (row.factor in open_) != is_shown
    assert ("the cause." in goes) == bool(goes)


@given(st.lists(st.sampled_from(["kept", "not kept", "cannot tell", None]), max_size=9))
def test_only_claims_that_are_decided_are_named_and_each_is_drawn_once(
    verdicts_of: list[str | None],
) -> None:
    rows = [
        replace(CLAIM, machine=str(number), verdict=verdict)
        for number, verdict in enumerate(verdicts_of)
    ]
    named = replace(NAMES, machines={row.machine: f"Machine {row.machine}" for row in rows})

    told = " ".join(claims.decided_by_name(rows, named))
    drawn = tally_of(verdicts_of)

    for row in rows:
        few = verdicts_of.count(row.verdict) <= claims.MOST_NAMED
        is_decided = row.verdict in {"kept", "not kept"} and few
        assert (f"Machine {row.machine}" in told) == is_decided
    assert drawn.of == len(rows) == sum(part.path.count("M") for part in drawn.parts)
    shown = {part.words.split()[0]: part.shape for part in drawn.parts}
    for count, shape in shown.items():
        assert {"not-held": None}.get(shape, shape.replace("-", " ")) in verdicts_of
        assert int(count) in {verdicts_of.count(one) for one in verdicts_of}


@given(st.floats(-1, 1), st.floats(-1, 1), st.sampled_from(Together), st.floats(0, 0.2))
def test_what_all_kinds_together_say_is_never_told_as_an_answer(
    rho: float, raw: float, relation: Together, raw_p: float
) -> None:
    row = replace(
        FACTOR,
        effect=round(rho, 2),
        raw_effect=round(raw, 2),
        raw_p=raw_p,
        differs_from_raw=True,
        relation=relation,
    )

    told = plain(associations.association(row, NAMES))

    assert (
        f"Over all kinds together the effect is rho {round(raw, 2) + 0.0:.2f}; kinds differ" in told
    )
    assert f"within kinds rho {round(rho, 2) + 0.0:.2f}" in told
    assert told.startswith("Whether") == (relation is Together.CANNOT_TELL)


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
        why="no-price",
    )

    told = value.value(row, NAMES)

    calls_itself_better = re.search("; better than (the one|all of the)", told) is not None
    calls_another_better = re.search("costs? no more and (is|are) better", told) is not None
    assert calls_itself_better == (front == "certain" and others > 0)
    assert calls_another_better == beaten
    assert told.count("better") == calls_itself_better + calls_another_better
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
        assert any(f"({row.setup})" in one.partition(" could ")[0] for one in said) == (
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


@given(INTERVALS, st.integers(1, 40).map(lambda tenths: tenths / 10), DIRECTION)
def test_what_cannot_be_told_could_matter_only_where_the_interval_leaves_it_open(
    interval: list[float], matters: float, better: str
) -> None:
    low, _, high = interval
    side = str(could_matter(np.array(low), np.array(high), matters, better))
    kind = relation_of_pair(low, high, matters, higher_is_better=better == "higher")

    told = verdicts.relation(kind, could_matter=side).words

    best, worst = (high, low) if better == "higher" else (-low, -high)
    if kind == "cannot tell":
        assert ("better by what matters" in told) == (best > matters and worst >= -matters)
        assert ("worse by what matters" in told) == (worst < -matters and best <= matters)
        assert ("either way" in told) == (best > matters and worst < -matters)
    else:
        assert "could" not in told


def test_without_an_interval_nothing_could_matter() -> None:
    unknown = np.array(np.nan)

    assert str(could_matter(unknown, unknown, 1.0, "higher")) == ""


@given(
    st.sampled_from(["certain", "possible", "out"]), st.integers(0, 1000).map(lambda n: n / 1000)
)
def test_a_chance_is_set_beside_the_range_only_where_they_seem_to_disagree(
    top: str, chance: float
) -> None:
    told = plain(chance_beside_range(replace(STANDING, top=top, chance_top=chance), 3))

    assert bool(told) == (top == "possible" and not 0.05 < chance < 0.95)
    assert "100 %" not in told
    assert " 0 %" not in told


@given(st.integers(0, 1000), st.integers(0, 1000), st.floats(0, 1))
def test_a_step_among_the_first_days_is_told_only_where_chance_hardly_makes_one(
    false_alarm: int, seen: int, p: float
) -> None:
    chart = replace(
        DRIFT, chance_of_false_alarm=false_alarm / 1000, chance_to_see=seen / 1000, step_p=p
    )

    assert ("hold a step" in watch.step_in_baseline(chart, "%")) == (p <= 0.01)
    assert ("none stands out" in watch.step_in_baseline(chart, "%")) == (p > 0.01)
    told = plain(watch.what_it_sees(chart, "%"))
    assert " 0 %" not in told
    assert "100 %" not in told


@given(*[st.integers(0, 9)] * 4)
def test_two_makers_get_the_mark_of_most_pairs_only_where_none_says_the_opposite(
    better: int, worse: int, level: int, untold: int
) -> None:
    drawn = verdicts.pairs(better, worse, level, untold)

    most = (better + worse + level + untold) / 2
    assert (drawn.shape == "better") == (better > most and worse == 0)
    assert (drawn.shape == "worse") == (worse > most and better == 0)
    assert (drawn.shape == "level") == (level > most and better == worse == 0)
    assert drawn.words.startswith(f"{better} better, {worse} worse, {level} level, {untold} not")
