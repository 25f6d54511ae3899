"""The way to report an error: a link to the bench's contact, with what it is about filled in.

In:  the contact in ``bench.toml``: an address of mail or of the web, or other words.
Out: a link, or None where the contact is no address.

Short: one rule, used by the frame of every page and by every run.
Source: RFC 6068, mailto.
"""

from __future__ import annotations

import re
from urllib.parse import quote

from trialpress.bench import Settings
from trialpress.words import say

ABOUT = "{about}"
"""Where the contact has this, what a report is about takes its place."""
_MAIL = re.compile(r"[^@\s<>?&]+@[^@\s<>?&]+")


def report_url(settings: Settings, about: str, page: str) -> str | None:
    """Where an error is reported.

    Parameters
    ----------
    settings : Settings
        Of the bench, for its contact.
    about : str
        The name of a run or the title of a page.
    page : str
        The address of the page.
    """
    contact = settings.contact.strip().removeprefix("mailto:")
    subject = say("Error in {about}", about=about)
    if _MAIL.fullmatch(contact):
        text = f"{page}\n\n"
        return f"mailto:{quote(contact, safe='@+')}?subject={quote(subject)}&body={quote(text)}"
    if not contact.startswith("https://"):
        return None
    filled = quote(f"{subject} ({page})", safe="")
    if ABOUT in contact:
        return contact.replace(ABOUT, filled)
    return f"{contact}{'&' if '?' in contact else '?'}about={filled}"
