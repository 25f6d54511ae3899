"""Every public row once, by key; every name in one form; every code with its word.

In:  the store, with results and analyses.
Out: ``View``. What comes after (charts, explain, dataset, site and the bench's own tools) reads
     only this. ``typed`` and ``results`` are the records of its rows, ``names`` what things are
     called, ``terms`` the words of codes, ``sentences`` what analyses say.
"""

from trialpress.view.deferred import Deferred
from trialpress.view.names import Names, SeriesKey, SeriesName, SetupName
from trialpress.view.view import View

__all__ = ["Deferred", "Names", "SeriesKey", "SeriesName", "SetupName", "View"]
