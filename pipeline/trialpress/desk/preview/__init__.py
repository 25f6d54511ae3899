"""A tester's evening in the browser: the site as it grows, and the bench sheet for tonight's rows.

In:  a bench folder, the clock and the port as the command line hands them in.
Out: pages on this machine alone; rows in tonight's day folder.

The way of a saved file, left to right::

    watcher         sees it, has the bench read anew, and the site built by another process
    events          what happened, handed to every open page
    questions       what the bench sheet asks
    catalogue_page  what the forms of the catalogue ask
    pages           the pages beside the site: their addresses, files and questions
    site_files      the newest site as answers to addresses
    origin          keeps other web pages away
    server          all of them behind one port
    phone           those for phones, at one private address
"""

from __future__ import annotations

from trialpress.desk.preview.events import Broadcast, Event, EventKind
from trialpress.desk.preview.phone import PhoneServer, picture_lines, private_address
from trialpress.desk.preview.server import PortTakenError, PreviewServer
from trialpress.desk.preview.watcher import Watcher

__all__ = [
    "Broadcast",
    "Event",
    "EventKind",
    "PhoneServer",
    "PortTakenError",
    "PreviewServer",
    "Watcher",
    "picture_lines",
    "private_address",
]
