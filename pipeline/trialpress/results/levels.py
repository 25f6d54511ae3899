"""Whether the spread of runs follows the level of the mean, and the spread of each cell if it does.

In:  the mean of each cell and how much its runs scatter.
Out: a ``SpreadByLevel``, or None where the runs do not plainly show one.

Near a bound runs cannot scatter far, and many readings scatter in proportion to what they read.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import special

from trialpress.results.spread import Floats, Scatter, Spread

FEWEST_CELLS = 16
"""Cells with two runs or more; with 12 more differences go wrong than by one spread for all."""

PLAIN_LEVEL, EACH_LEFT_OUT_LEVEL = 0.01, 0.05
"""Levels of the test with all cells, and with each of them left out in turn."""

SMALLEST_RATIO = 1.5
"""Of the largest to the smallest spread, for the level to matter."""

_STEPS, _CLOSE, _LONGEST = 60, 1e-10, 5.0


@dataclass(frozen=True)
class SpreadByLevel(Spread):
    """A spread in proportion to a power of the level; arrays of shape (k,), one each cell.

    The spread of a cell is ``sd`` * ``relative``, and ``relative`` is (mean / ``centre``) **
    ``power``. ``away`` is the logarithm of mean / centre, ``reach`` the sum of its squares times
    the cells' degrees of freedom.
    """

    power: float
    centre: float
    relative: Floats
    away: Floats
    reach: float

    def of_cells(self, count: int) -> Floats:  # noqa: ARG002  there is one for each cell
        """The spread of each cell at its level."""
        return self.sd * self.relative

    def at_one_level(self, own: Floats) -> Floats:
        """Spreads of cells by themselves, as they would be at the centre."""
        return own / self.relative

    def df_of_cells(self, variance: Floats) -> Floats:
        """Degrees of freedom of the spread of each cell.

        Those of a cell far from the centre are fewer, as the power is estimated too.

        Notes
        -----
        Source: the variance of a fitted variance by the information of a gamma model with a
        logarithmic link (McCullagh and Nelder, Generalized Linear Models, 8.3), and Satterthwaite,
        Biometrics Bull. 2 (1946) 110.
        """
        return self._df(variance, variance * self.away)

    def df_of_pairs(self, variance: Floats, rows: slice) -> Floats:
        """The same of the sum of what every two cells bring in, those of ``rows`` first."""
        bent = variance * self.away
        return self._df(variance[rows, None] + variance, bent[rows, None] + bent)

    def _df(self, whole: Floats, bent: Floats) -> Floats:
        return np.asarray(whole**2 / (whole**2 / self.df + bent**2 / self.reach))


def spread_by_level(mean: Floats, scatter: Scatter) -> SpreadByLevel | None:
    """The relation of spread and level, where it is plain.

    Parameters
    ----------
    mean : ndarray, shape (k,)
        Of each cell.
    scatter : Scatter
        Of its runs by themselves.

    Returns
    -------
    SpreadByLevel or None
        None where fewer than ``FEWEST_CELLS`` cells have repeats, where a mean is not above 0, and
        where the scatter goes with the level no more than chance allows: with all cells, and
        whichever of them is left out, so that no single noisy set-up makes a relation.

    Notes
    -----
    Source: ISO 5725-2, 7.5, relation III: lg s = c + d lg m; fitted by maximum likelihood, squares
    being chi-square variables (Davidian and Carroll, J. Am. Stat. Assoc. 82 (1987) 1079). The test
    is that of the score; where spreads are equal the shares of the squares have a Dirichlet
    distribution, which gives its variance.
    """
    has_repeats = scatter.df > 0
    if has_repeats.sum() < FEWEST_CELLS or bool(np.any(mean <= 0)):
        return None
    logs = np.log(mean)
    squares = np.where(has_repeats, scatter.df * np.nan_to_num(scatter.sd) ** 2, 0.0)
    if not _is_plain(logs, squares, scatter.df):
        return None
    centre = float(scatter.df @ logs / scatter.df.sum())
    away = logs - centre
    slope = _slope(away, squares)
    relative = np.exp(slope * away / 2)
    if relative.max() < SMALLEST_RATIO * relative.min():
        return None
    df = float(scatter.df.sum()) - 1  # the power is estimated too
    return SpreadByLevel(
        sd=float(np.sqrt(np.sum(squares / relative**2) / df)),
        df=df,
        power=slope / 2,
        centre=float(np.exp(centre)),
        relative=relative,
        away=away,
        reach=float(scatter.df @ away**2),
    )


def _is_plain(logs: Floats, squares: Floats, df: Floats) -> bool:
    """Whether the squares go with the level, with all cells and without any one of them."""
    counts = np.ones((1 + len(logs), len(logs))) - np.eye(1 + len(logs), len(logs), -1)
    scores = _scores(logs, squares * counts, df * counts)
    if not bool(np.all(np.isfinite(scores))):
        return False
    along = scores * np.sign(scores[0])
    limits = special.ndtri(1 - np.array([PLAIN_LEVEL, EACH_LEFT_OUT_LEVEL]) / 2)
    return bool(along[0] > limits[0] and along[1:].min() > limits[1])


def _scores(logs: Floats, squares: Floats, df: Floats) -> Floats:
    """How far squares go with the level, in standard deviations where spreads are equal.

    ``squares`` and ``df`` have a row for each choice of cells.
    """
    whole = df.sum(axis=1, keepdims=True)
    away = logs - np.sum(df * logs, axis=1, keepdims=True) / whole
    with np.errstate(divide="ignore", invalid="ignore"):
        found = np.sum(squares * away, axis=1) / squares.sum(axis=1)
        variance = np.sum(df * away**2, axis=1) / whole[:, 0] / (whole[:, 0] / 2 + 1)
        return np.asarray(found / np.sqrt(variance))


def _slope(away: Floats, squares: Floats) -> float:
    """The most likely slope of the logarithm of the variance over that of the level.

    Newton's steps on the likelihood with the scale put at its best; it is concave in the slope.
    """
    slope, longest = 0.0, _LONGEST / float(np.ptp(away))
    for _ in range(_STEPS):
        shares = squares / np.exp(slope * away)
        shares = shares / shares.sum()
        pull = float(shares @ away)
        step = pull / float(shares @ (away - pull) ** 2)
        slope += min(max(step, -longest), longest)
        if abs(step) < _CLOSE * longest:
            break
    return slope
