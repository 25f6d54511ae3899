"""Scripts round as the bench does: a tie of typed decimals goes to the even digit.

Short: one rule, one list of ties.
"""

from __future__ import annotations

import random
from pathlib import Path

from trialpress.results.rounding import half_even
from web.conftest import OpenPage

SEED = 20_310_302


def test_scripts_round_ties_and_all_else_as_the_bench_does(
    small_standing: Path, open_page: OpenPage
) -> None:
    # 13.15 and 1.005 lie below their ties as binary fractions, 8.345 above; -0.05 becomes 0.
    figures = [(13.15, 1), (1.005, 2), (8.345, 2), (2.5, 0), (3.5, 0), (-13.15, 1), (-0.05, 1)]
    figures += [((13.1 + 13.2) / 2, 1), ((91.2 + 91.3) / 2, 1), (0.1 + 0.2, 1), (1e15, 2)]
    # Repeatable draws, no secrets.
    draw = random.Random(SEED)  # noqa: S311
    figures += [(draw.randrange(-99_999, 99_999) / 10**4, draw.randrange(4)) for _ in range(400)]
    figures += [((2 * draw.randrange(9_999) + 1) / 2 / 10**d, d) for d in (0, 1, 2, 3)]
    page = open_page(small_standing)

    told = page.evaluate(
        "(figures) => figures.map(([value, decimals]) => trialpress.halfEven(value, decimals))",
        figures,
    )

    assert told == [half_even(value, decimals) for value, decimals in figures]
    assert page.evaluate("Object.is(trialpress.halfEven(-0.04, 1), 0)")
