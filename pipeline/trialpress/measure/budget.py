"""The uncertainty budget of many runs at once, as the GUM has it.

In:  what each component contributes: its standard uncertainty and its sensitivity.
Out: combined standard uncertainties; NaN where a component is not known.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy import special

Floats = NDArray[np.float64]

RECTANGULAR = 1 / np.sqrt(12)  # standard uncertainty of a reading per step of its display
DIFFERENCE = 1 / np.sqrt(6)  # the same for the difference of two readings


@dataclass(frozen=True)
class Component:
    """One source of uncertainty of n runs.

    ``standard_uncertainty`` and ``sensitivity`` have shape (n,); their product is in the unit of
    the value. ``is_shared`` is true where one error is common to all runs made with an instrument,
    such as the calibration of its scale, so that repeating the run does not average it out.
    """

    name: str
    standard_uncertainty: Floats
    sensitivity: Floats
    degrees_of_freedom: float = np.inf
    is_shared: bool = False

    @property
    def contribution(self) -> Floats:
        """Standard uncertainty of the value from this component alone, shape (n,).

        A component that the value does not depend on contributes nothing, known or not.
        """
        product = np.abs(self.sensitivity) * self.standard_uncertainty
        return np.where(self.sensitivity == 0, 0.0, product)


@dataclass(frozen=True)
class Budget:
    """The values of n runs and all that makes them uncertain."""

    value: Floats
    components: tuple[Component, ...]

    @property
    def standard_uncertainty(self) -> Floats:
        """Combined standard uncertainty, shape (n,), in the unit of the value; NaN is unknown."""
        return combined_uncertainty([part.contribution for part in self.components])

    def of(self, index: int) -> Budget:
        """The budget of one of the n runs, arrays of shape (1,)."""
        chosen = slice(index, index + 1)
        return Budget(
            self.value[chosen],
            tuple(
                replace(
                    part,
                    standard_uncertainty=part.standard_uncertainty[chosen],
                    sensitivity=part.sensitivity[chosen],
                )
                for part in self.components
            ),
        )


def combined_uncertainty(contributions: Sequence[Floats]) -> Floats:
    """Root sum of squares of independent contributions.

    Parameters
    ----------
    contributions : sequence of ndarray, shapes (n,)
        Sensitivity times standard uncertainty of each component.

    Returns
    -------
    ndarray, shape (n,)
        Combined standard uncertainty.

    Notes
    -----
    Source: JCGM 100:2008 (GUM), equation 10.
    """
    return np.asarray(np.sqrt(np.sum(np.square(np.asarray(contributions)), axis=0)))


def effective_degrees_of_freedom(
    contributions: Sequence[float], degrees_of_freedom: Sequence[float]
) -> float:
    """Degrees of freedom of a combined standard uncertainty.

    Parameters
    ----------
    contributions : sequence of float
        Sensitivity times standard uncertainty of each component.
    degrees_of_freedom : sequence of float
        Those of each component; infinity where its uncertainty is taken as exactly known.

    Returns
    -------
    float
        Not truncated; infinity where every component's is.

    Notes
    -----
    Source: JCGM 100:2008 (GUM), equation G.2b, the Welch-Satterthwaite formula.
    """
    squares = np.square(np.asarray(contributions, dtype=np.float64))
    below = float(np.sum(np.square(squares) / np.asarray(degrees_of_freedom, dtype=np.float64)))
    return math.inf if below == 0 else float(np.sum(squares)) ** 2 / below


def coverage_factor(degrees_of_freedom: float, confidence: float) -> float:
    """What a combined standard uncertainty is multiplied with for a two-sided interval.

    Degrees of freedom are cut to the whole number below, as the GUM does (G.4.1).
    """
    chance = (1 + confidence) / 2
    if math.isinf(degrees_of_freedom):
        return float(special.ndtri(chance))
    return float(special.stdtrit(math.floor(degrees_of_freedom), chance))
