"""Short ways to write readings down, for the tests beside this file."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from trialpress.measure.weighed import Weighed


def column(*values: float) -> NDArray[np.float64]:
    return np.array(values, dtype=np.float64)


def weighed(**masses: float) -> Weighed:
    """One run on one balance of 0.1 g, unless told otherwise."""
    usual = {
        "before_g": np.nan,
        "after_g": np.nan,
        "gain_g": np.nan,
        "blank_g": np.nan,
        "dose_g": 20.1,
        "dose_is_difference": 1.0,
        "resolution_g": 0.1,
        "scale_u": np.nan,
        "dose_resolution_g": 0.1,
        "dose_scale_u": np.nan,
        "same_balance": 1.0,
    }
    return Weighed(**{name: column(value) for name, value in (usual | masses).items()})
