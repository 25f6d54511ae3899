"""A tester's evening in the browser: the site as it grows, and a form for tonight's rows.

In:  a bench folder, the clock and the port as the command line hands them in.
Out: pages on this machine alone; rows in tonight's day folder. Left to right: ``watching`` sees a
     saved file, ``look`` reads and measures, ``workshop`` has the site built anew, ``board`` tells
     every open page; ``offer``, ``draft``, ``filling`` and ``verdict`` are the bench sheet.
"""

from trialpress.desk.preview.board import Event, EventKind
from trialpress.desk.preview.server import PortTakenError, PreviewServer
from trialpress.desk.preview.workshop import Workshop

__all__ = ["Event", "EventKind", "PortTakenError", "PreviewServer", "Workshop"]
