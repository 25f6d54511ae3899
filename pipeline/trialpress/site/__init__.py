"""The static site: every page from one typed object, no figure decided here.

In:  the store with all results, the charts, the list of downloads, the bench folder.
Out: HTML, style, scripts and photos that work from disk and without scripts.
"""

from trialpress.site.source import Download
from trialpress.site.write import MadePage, PageInView, write_site

__all__ = ["Download", "MadePage", "PageInView", "write_site"]
