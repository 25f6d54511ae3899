"""Every address of the site, relative to its root and with ``.html``, so that it works from disk.

In:  slugs.
Out: addresses such as ``machines/hollin-20.html``; a set-up's name with the page it leads to.
"""

from __future__ import annotations

from dataclasses import dataclass

from trialpress.view import View
from trialpress.view.typed import Protocol

HOME = "index.html"
OVERALL = "overall.html"
MY_FLOORS = "my-floors.html"
COMPARE = "compare.html"
MATRIX = "matrix.html"
QUESTIONS = "questions.html"
PRICES = "prices.html"
CLAIMS = "claims.html"
FACTORS = "goes-with.html"
MAKER_PAIR = "maker-pair.html"
MACHINES = "machines/index.html"
MAKERS = "makers/index.html"
METHODS = "methods/index.html"
FILMS = "films/index.html"
DATA = "data.html"
DICTIONARY = "dictionary.html"
ASK = "ask.html"
EDITIONS = "editions/index.html"
GOOD_PRACTICE = "good-practice.html"
ABOUT = "about.html"
CORRECTIONS = "corrections.html"
SEARCH = "search.html"
NOT_FOUND = "404.html"
WATCH = "watch.html"
FIGURES = "figures.html"
NEWS = "news.html"
ATOM = "feed.xml"
JSON_FEED = "feed.json"
SITEMAP = "sitemap.xml"


@dataclass(frozen=True)
class SetupLink:
    """A set-up in words. ``label`` is what sets it apart from the machine's other set-ups."""

    setup: str
    machine: str
    label: str
    full: str
    url: str
    is_reference: bool


def setup_link(view: View, setup: str) -> SetupLink:
    """The name of one set-up, and the page of its machine."""
    row, name = view.setup[setup], view.names.setups[setup]
    return SetupLink(
        setup=setup,
        machine=view.names.machines[row.machine],
        label=row.label,
        full=name.full,
        url=machine_url(row.machine),
        is_reference=row.reference,
    )


def standing_url(series: Protocol) -> str:
    """The page of one series: the current one bears the protocol's name alone."""
    return f"standings/{_series_slug(series)}.html"


def _series_slug(series: Protocol) -> str:
    version = "" if series.is_current else f"-v{series.series_version}"
    return f"{series.protocol}{version}"


def prices_url(series: Protocol) -> str:
    """The results of one series against prices."""
    return f"prices/{_series_slug(series)}.html"


def factors_url(series: Protocol) -> str:
    """What goes with the results of one series."""
    return f"goes-with/{_series_slug(series)}.html"


def claims_url(quantity: str) -> str:
    """The claims of one quantity."""
    return f"claims/{quantity}.html"


def compare_url(*setups: str) -> str:
    """Set-ups side by side."""
    return f"{COMPARE}?with={','.join(setups)}"


def against_url(series: Protocol, setup: str) -> str:
    """A standing with every set-up measured against one of them."""
    return f"{standing_url(series)}?against={setup}"


def machine_url(machine: str) -> str:
    """The page of one machine."""
    return f"machines/{machine}.html"


def run_url(machine: str, run: str) -> str:
    """One run on its machine's page."""
    return f"{machine_url(machine)}#run-{run}"


def maker_url(maker: str) -> str:
    """The page of one maker."""
    return f"makers/{maker}.html"


def maker_pair_url(*makers: str) -> str:
    """One maker beside another."""
    return f"{MAKER_PAIR}?with={','.join(makers)}"


def floor_url(floor: str) -> str:
    """The page of one floor."""
    return f"floors/{floor}.html"


def method_url(protocol: str) -> str:
    """The page of one protocol's method."""
    return f"methods/{protocol}.html"


def film_url(film: str) -> str:
    """The page of one film."""
    return f"films/{film}.html"


def mark_url(film: str, seconds: int) -> str:
    """What a film shows from one second on, on its page."""
    return f"{film_url(film)}#at-{seconds}"


def worked_url(machine: str) -> str:
    """The page with the working-out of one machine's standings."""
    return f"worked/{machine}.html"


def embed_url(chart: str) -> str:
    """The small page that shows one chart alone, to be put into other sites."""
    return f"embed/{chart}.html"


def oembed_url(chart: str) -> str:
    """What other sites read to learn how to show one chart."""
    return f"embed/{chart}.json"


def preview_url(page: str) -> str:
    """The picture that other sites show of a page."""
    return f"previews/{page.removesuffix('.html').replace('/', '-')}.png"


def photo_url(photo: str) -> str:
    """The published copy of one photo."""
    return f"photos/{photo}.jpg"


def download_url(name: str) -> str:
    """One file of the dataset."""
    return f"dataset/{name}"


def subset_url(kind: str, slug: str) -> str:
    """The runs of one protocol, machine or maker as a file; ``kind`` is their plural."""
    return download_url(f"subsets/{kind}/{slug}.csv")


def edition_url(version: str) -> str:
    """The page of one edition."""
    return f"editions/{version}/index.html"


def frozen_standing_url(version: str, series: str) -> str:
    """A standing as an edition has it."""
    return f"editions/{version}/standings/{series}.html"


def frozen_machine_url(version: str, machine: str) -> str:
    """A machine's places as an edition has them."""
    return f"editions/{version}/machines/{machine}.html"


def web_address(typed: str | None) -> str | None:
    """A typed address where it is one of the web's own, so that it may be followed."""
    is_web = (typed or "").startswith(("https://", "http://"))
    return typed if is_web else None


def root_from(url: str) -> str:
    """The way from a page back to the site's root: ``../`` for ``machines/hollin-20.html``."""
    return "../" * url.count("/")
