"""What search engines and servers are told of the site.

In:  the bench's settings and the addresses of the pages.
Out: ``sitemap.xml``, ``robots.txt`` and ``_headers`` as text; names of files for hosts.

Short: for machines that visit, of which no page knows.
"""

from __future__ import annotations

from collections.abc import Iterable
from html import escape
from importlib.resources import files

from trialpress.bench import Settings
from trialpress.site import urls

ROBOTS = "robots.txt"
HEADERS = "_headers"
AS_IS = ".nojekyll"
"""An empty file that asks a host to serve all files as they are, also those in Markdown."""
SITEMAP_NAMESPACE = "http://www.sitemaps.org/schemas/sitemap/0.9"


def sitemap(canonicals: Iterable[str]) -> str:
    """Every page that has an address of its own, sorted.

    Notes
    -----
    Source: sitemaps.org, protocol 0.9.
    """
    lines = "\n".join(
        f"<url><loc>{escape(one, quote=False)}</loc></url>" for one in sorted(set(canonicals))
    )
    return (
        '<?xml version="1.0" encoding="utf-8"?>\n'
        f'<urlset xmlns="{SITEMAP_NAMESPACE}">\n{lines}\n</urlset>\n'
    )


def robots(settings: Settings) -> str:
    """Everybody may read everything.

    Notes
    -----
    Source: RFC 9309.
    """
    return f"User-agent: *\nAllow: /\n\nSitemap: {settings.base_url}{urls.SITEMAP}\n"


def headers() -> str:
    """What a server should send along, where it reads such a file; others need it set by hand."""
    return files("trialpress").joinpath("site", "headers.txt").read_text("utf-8")
