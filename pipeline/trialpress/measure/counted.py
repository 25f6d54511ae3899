"""Shares of counts and of graded zones.

In:  how many hits of how many tries, one array element a run.
Out: a budget in percent, never with a zero uncertainty at 0 or 100 %.
"""

from __future__ import annotations

import numpy as np

from trialpress.measure.budget import Budget, Component, Floats


def wilson_interval(
    hits: Floats, tries: Floats, *, quantile: Floats | float
) -> tuple[Floats, Floats]:
    """Wilson's score interval for a share within one run.

    Parameters
    ----------
    hits, tries : ndarray, shape (n,)
        Counts; 0 <= hits <= tries, tries > 0.
    quantile : float or ndarray, of a shape that fits
        Of the standard normal distribution: 1.959964 for a two-sided 95 % interval.

    Returns
    -------
    tuple of ndarray, shapes (n,)
        Lower and upper end, as shares between 0 and 1.

    Notes
    -----
    Source: Wilson, J. Am. Stat. Assoc. 22 (1927) 209; Newcombe, Stat. Med. 17 (1998) 857, method 3.
    """
    share = hits / tries
    square = quantile**2
    centre = (share + square / (2 * tries)) / (1 + square / tries)
    half = (
        quantile
        / (1 + square / tries)
        * np.sqrt(share * (1 - share) / tries + square / (4 * tries**2))
    )
    return centre - half, centre + half


def share_of_hits(hits: Floats, tries: Floats) -> Budget:
    """Share of tries that were hits, in percent.

    Returns
    -------
    Budget
        Of 100 * hits / tries; the standard uncertainty is half of Wilson's interval at one
        standard deviation, which stays above zero at 0 and 100 %.
    """
    low, high = wilson_interval(hits, tries, quantile=1.0)
    return _share(hits / tries, (high - low) / 2)


def share_of_clean_zones(clean: Floats, gradings: Floats, zones: Floats) -> Budget:
    """Share of zones graded clean, over all graders, in percent.

    Parameters
    ----------
    clean, gradings : ndarray, shape (n,)
        Gradings at or below the clean limit, and all gradings of the run.
    zones : ndarray, shape (n,)
        Zones of the run. Graders look at the same zones, so that more graders are not more zones:
        the uncertainty is that of a share of ``zones`` tries.

    Returns
    -------
    Budget
        Of 100 * clean / gradings.
    """
    share = clean / gradings
    low, high = wilson_interval(share * zones, zones, quantile=1.0)
    return _share(share, (high - low) / 2)


def _share(share: Floats, standard_uncertainty: Floats) -> Budget:
    sensitivity = np.full_like(share, 100.0)
    return Budget(
        100 * share, (Component("share of a limited count", standard_uncertainty, sensitivity),)
    )
