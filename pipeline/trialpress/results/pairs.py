"""Every set-up of a series against every other, as columns.

In:  a ``Ranking``, the rules of its series and the decimals it is published with.
Out: frames with the columns of ``ComparisonRow``, a number of rows at a time; pairs are many more
     than set-ups, so none of them is an object by itself.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, TypeAlias, cast

import numpy as np
from numpy.typing import NDArray

from trialpress.results.ranking import Ranking
from trialpress.results.rounding import half_even_all
from trialpress.results.separation import RELATIONS, Relation, relations_of

if TYPE_CHECKING:
    import pandas as pd

    from trialpress.store.store import Frame

    Column: TypeAlias = NDArray[Any] | pd.Categorical[str]

PAIRS_AT_ONCE, FEW_PAIRS = 1_000_000, 50_000
TOLD = (RELATIONS.index(Relation.BETTER), RELATIONS.index(Relation.WORSE))


@dataclass(frozen=True)
class Pairs:
    """The ordered pairs of one series; ``matters`` is in the unit of its values."""

    ranking: Ranking
    protocol: str
    version: int
    matters: float
    higher_is_better: bool
    decimals: int

    def frames(self) -> Iterator[Frame]:
        """Rows of ``comparisons``: set-ups in the order of the cells, and so the others of each."""
        count = len(self.ranking.cells)
        rows = max(PAIRS_AT_ONCE // count, 1)
        for first in range(0, count, rows):
            yield self._frame(np.arange(first, min(first + rows, count)))

    def _frame(self, rows: NDArray[np.int64]) -> Frame:
        between = self.ranking.differences
        setups = [cell.setup for cell in self.ranking.cells]
        others = np.arange(len(setups))
        is_pair = rows[:, None] != others
        difference, low, high = (
            ends[rows][is_pair] for ends in (between.difference, between.low, between.high)
        )
        relation = relations_of(low, high, self.matters, higher_is_better=self.higher_is_better)
        by_less = np.isin(relation, TOLD) & (np.abs(difference) < self.matters)
        own, other = np.broadcast_arrays(rows[:, None], others)
        columns: dict[str, Column] = {
            "protocol": _named(np.zeros_like(own[is_pair]), [self.protocol]),
            "version": np.full(len(difference), self.version),
            "setup": _named(own[is_pair], setups),
            "other": _named(other[is_pair], setups),
            "difference": half_even_all(difference, self.decimals),
            "low": half_even_all(low, self.decimals),
            "high": half_even_all(high, self.decimals),
            "relation": _named(relation, [code.value for code in RELATIONS]),
            "by_less_than_matters": by_less,
        }
        if len(difference) <= FEW_PAIRS:
            return cast("Frame", columns)
        import pandas as pd  # noqa: PLC0415  it takes a sixth of a second to import

        return pd.DataFrame(columns)


def _named(numbers: NDArray[np.integer], names: Sequence[str]) -> Column:
    """Names in place of their numbers; of many, each is kept once."""
    if len(numbers) <= FEW_PAIRS:
        return np.asarray(np.array(names, dtype=object)[numbers])
    import pandas as pd  # noqa: PLC0415  as above

    return pd.Categorical.from_codes(numbers, pd.Index(names))
