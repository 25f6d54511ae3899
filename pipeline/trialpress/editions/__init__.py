"""Editions: frozen, numbered releases of the dataset, each a zip that is never changed.

In:  ``data/editions/<version>.zip``, or an archive from anywhere.
Out: what an edition says of itself, its files and tables, opened as something nobody trusts.
"""

from trialpress.editions.edition import (
    DATA_PAGE,
    LATEST,
    PACKAGE_FILE,
    Edition,
    edition_url,
    read_edition,
    read_editions,
    read_package,
    shelve_editions,
)
from trialpress.editions.opening import (
    NotReadError,
    OpenArchive,
    UnsafeArchiveError,
    opened_archive,
)
from trialpress.editions.version import FIRST, Step, Version, WrongVersionError

__all__ = [
    "DATA_PAGE",
    "FIRST",
    "LATEST",
    "PACKAGE_FILE",
    "Edition",
    "NotReadError",
    "OpenArchive",
    "Step",
    "UnsafeArchiveError",
    "Version",
    "WrongVersionError",
    "edition_url",
    "opened_archive",
    "read_edition",
    "read_editions",
    "read_package",
    "shelve_editions",
]
