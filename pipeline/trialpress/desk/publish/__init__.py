"""The built site handed on to readers.

In:  the outputs of a build, a bench, and where they are to go.
Out: what would change there; then the change, and the record of what was published.

Where to look::

    site    whether what was built may go out, and what would change
    record  which pages were published, and which of them would vanish
    folder  a site mirrored into a folder
    branch  a site as one more commit on a branch
    git     the tester's own git
"""

from __future__ import annotations

from trialpress.desk.publish.branch import GitTarget, prepared_commit, push
from trialpress.desk.publish.folder import mirror, plan_mirror
from trialpress.desk.publish.record import (
    VanishingPagesError,
    read_published_pages,
    record_published,
    vanishing,
)
from trialpress.desk.publish.site import Site, SiteChanges, embargo_warnings, read_site

__all__ = [
    "GitTarget",
    "Site",
    "SiteChanges",
    "VanishingPagesError",
    "embargo_warnings",
    "mirror",
    "plan_mirror",
    "prepared_commit",
    "push",
    "read_published_pages",
    "read_site",
    "record_published",
    "vanishing",
]
