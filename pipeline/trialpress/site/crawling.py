"""What search engines and servers are told of the site.

In:  the bench's settings and the addresses of the pages.
Out: ``sitemap.xml``, ``robots.txt`` and ``_headers`` as text.
"""

from __future__ import annotations

from collections.abc import Iterable
from xml.sax.saxutils import escape

from trialpress.bench import Settings
from trialpress.site import urls

ROBOTS = "robots.txt"
HEADERS = "_headers"
SITEMAP_NAMESPACE = "http://www.sitemaps.org/schemas/sitemap/0.9"
POLICY = (
    "default-src 'self'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
    "object-src 'none'; base-uri 'none'; form-action 'self'"
)


def sitemap(canonicals: Iterable[str]) -> str:
    """Every page that has an address of its own, sorted.

    Notes
    -----
    Source: sitemaps.org, protocol 0.9.
    """
    lines = "\n".join(f"<url><loc>{escape(one)}</loc></url>" for one in sorted(set(canonicals)))
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
    """What a server should send along, where it reads such a file; others need it set by hand.

    A policy inside a page cannot say who may frame it: only the small pages of charts may be.
    """
    return f"""\
/*
  Content-Security-Policy: {POLICY}; frame-ancestors 'self'
  X-Content-Type-Options: nosniff
  Referrer-Policy: strict-origin-when-cross-origin
  Cross-Origin-Opener-Policy: same-origin
/embed/*
  ! Content-Security-Policy
  Content-Security-Policy: {POLICY}; frame-ancestors *
/static/*
  Cache-Control: public, max-age=3600
"""
