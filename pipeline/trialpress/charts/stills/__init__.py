"""Charts as pictures that need no script: what Vega would draw from their specifications.

In:  the rows that a form is filled with, and its words.
Out: a ``Drawing``, wide or narrow.

A page is opened with these and read without scripts; a live chart is drawn over them by Vega, from
the specification, when a reader asks something of it. Drawing them by Vega too would open a font
for every letter and take most of a build. The measures are those of the forms and the rules those
of Vega's axes; ``tests/charts/test_stills.py`` holds both against what Vega draws.
"""

from trialpress.charts.stills.drift import drift_still
from trialpress.charts.stills.ladder import ladder_still
from trialpress.charts.stills.marks import Drawing
from trialpress.charts.stills.panels import panels_still
from trialpress.charts.stills.scatter import scatter_still

__all__ = ["Drawing", "drift_still", "ladder_still", "panels_still", "scatter_still"]
