"""The drawing of a range of places."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from trialpress.site.strips import WIDTH, place_strip, strip_scale


def ends(bracket: str) -> tuple[float, float]:
    """Left and right end of a bracket ``Mx yVyHxVy``."""
    left = bracket.removeprefix("M").split()[0]
    right = bracket.partition("H")[2].partition("V")[0]
    return float(left), float(right)


def test_six_places_stand_at_the_middles_of_six_equal_parts() -> None:
    scale = strip_scale(6, 3)

    # 120 wide: parts of 20, the third place at 50, the cut ends at 60
    assert place_strip(scale, 3, 2, 4).dot == "50"
    assert scale.cut_width == "60"
    # 2nd to 4th: middles at 30 and 70, 0.32 of a part beyond them
    assert ends(place_strip(scale, 3, 2, 4).bracket) == (23.6, 76.4)


def test_a_cut_larger_than_the_field_covers_it() -> None:
    assert strip_scale(2, 5).cut_width == "120"


@given(st.integers(1, 60).flatmap(lambda k: st.tuples(st.just(k), st.integers(1, k))))
def test_a_bracket_spans_its_dot_and_stays_inside(ranked_and_place: tuple[int, int]) -> None:
    ranked, place = ranked_and_place
    strip = place_strip(strip_scale(ranked, 3), place, place, place)
    left, right = ends(strip.bracket)

    assert 0 <= left <= float(strip.dot) <= right <= WIDTH
