"""Kit: what a film about a result is cut from, all of it as of one date.

In:  the view, what the kit is asked for, and the folder of kits.
Out: a folder a kit: stills on paper and on nothing, a standing revealed line by line, a fact sheet,
     a description, texts for those who cannot see a picture, and one page with all of it.

``request`` finds what is asked for, ``making`` says which stills there are, each kind is a module
of ``stills``; a still is a ``scene``, which ``png`` and ``svg`` draw alike. ``facts`` are what may
be said and ``description`` what stands below a film; ``writing`` puts it all into place.
"""

from trialpress.kit.request import (
    KitRequest,
    NoSuchSubjectError,
    NothingAskedError,
    UnderEmbargoError,
)
from trialpress.kit.writing import KitOrder, WrittenKit, existing_kits, rows_digest, write_kit
from trialpress.site.films import pins_of

__all__ = [
    "KitOrder",
    "KitRequest",
    "NoSuchSubjectError",
    "NothingAskedError",
    "UnderEmbargoError",
    "WrittenKit",
    "existing_kits",
    "pins_of",
    "rows_digest",
    "write_kit",
]
