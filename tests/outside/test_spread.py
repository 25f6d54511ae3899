"""The pooled spread against certified data sets."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import scipy.stats

from trialpress.results.spread import pooled_spread

NIST = Path(scipy.stats.__file__).parent / "tests" / "data" / "nist_anova"


@pytest.mark.parametrize(
    ("name", "residual_sd"),
    [
        # NIST StRD, one-way analysis of variance: certified residual standard deviations.
        ("SiRstv", 0.104076068334656),
        ("AtmWtAg", 1.51048314446410e-05),
        ("SmLs01", 0.1),
        ("SmLs02", 0.1),
        ("SmLs03", 0.1),
        ("SmLs04", 0.1),
        ("SmLs05", 0.1),
        ("SmLs06", 0.1),
    ],
)
def test_pooled_spread_is_the_certified_residual_spread(name: str, residual_sd: float) -> None:
    treatment, response = np.loadtxt(NIST / f"{name}.dat", skiprows=60, unpack=True)
    cells = [response[treatment == level] for level in np.unique(treatment)]

    spread = pooled_spread(cells)

    assert spread.sd == pytest.approx(residual_sd, rel=1e-7)
    assert spread.df == len(response) - len(cells)
