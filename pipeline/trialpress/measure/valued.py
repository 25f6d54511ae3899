"""A value as it was read.

In:  readings and what is known of the instruments, one array element a run.
Out: a budget in the protocol's unit.

Short: one formula is all there is to a value, and each kind of reading has its module.
"""

from __future__ import annotations

import numpy as np

from trialpress.measure.budget import RECTANGULAR, Budget, Component, Floats


def value_as_read(value: Floats, resolution: Floats, scale_u: Floats) -> Budget:
    """A reading with the resolution and the calibration of its instrument.

    Parameters
    ----------
    value, resolution : ndarray, shape (n,)
        Reading and smallest step of the display, in the protocol's unit; NaN where the instrument
        is not known.
    scale_u : ndarray, shape (n,)
        Relative standard uncertainty of the instrument's scale; NaN where not known.

    Returns
    -------
    Budget
        Of the value.

    Notes
    -----
    Source: JCGM 100:2008 (GUM), F.2.2.1 for the resolution of a display.
    """
    return Budget(
        value,
        (
            Component("reading", resolution * RECTANGULAR, np.ones_like(value)),
            Component("scale of the instrument", scale_u, value, is_shared=True),
        ),
    )
