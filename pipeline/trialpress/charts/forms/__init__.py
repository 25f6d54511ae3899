"""The forms of charts, before anything is in them, written with Altair.

In:  nothing but layouts and the theme.
Out: ``FORMS`` in Vega-Lite, and ``compiled``, which makes what lies in ``charts/compiled/``. A form
     is compiled when the package is made (``make forms``), so that no build needs Altair for it.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from functools import partial
from itertools import product
from pathlib import Path

import vl_convert

from trialpress.charts.chart import Json
from trialpress.charts.forms.drift import drift_form
from trialpress.charts.forms.ladder import ladder_form
from trialpress.charts.forms.panels import panels_form
from trialpress.charts.forms.scatter import scatter_form
from trialpress.charts.scatter import scatter_name
from trialpress.paths import write_below

BOTH = (False, True)
FOLDER = Path(__file__).parents[1] / "compiled"
FORMS: Mapping[str, Callable[[], dict[str, Json]]] = {
    "ladder-wide": partial(ladder_form, narrow=False),
    "ladder-narrow": partial(ladder_form, narrow=True),
    "drift-wide": partial(drift_form, narrow=False),
    "drift-narrow": partial(drift_form, narrow=True),
    "panels-1": partial(panels_form, columns=1),
    "panels-2": partial(panels_form, columns=2),
} | {
    scatter_name(is_single=one, narrow=narrow, is_log=log): partial(
        scatter_form, is_single=one, narrow=narrow, is_log=log
    )
    for one, narrow, log in product(BOTH, BOTH, BOTH)
}


def compiled(vega_lite: Mapping[str, Json]) -> str:
    """A form in Vega, as JSON text; the ground stays clear, as the page has its own."""
    specification = vl_convert.vegalite_to_vega(dict(vega_lite))
    del specification["background"]
    return json.dumps(specification) + "\n"


def write_forms() -> None:
    """Compile every form into the package."""
    for name, form in FORMS.items():
        write_below(FOLDER, f"{name}.json", compiled(form()).encode("utf-8"))
