"""What the search box reads: every page by name, and what readers call things.

In:  the search page, the settings, the kinds of machines.
Out: a classic script, so that it also loads from disk.
"""

from __future__ import annotations

import json
from collections.abc import Collection, Mapping, Sequence

from trialpress.bench import Settings
from trialpress.charts.chart import Json
from trialpress.site.pages.search import Match, SearchPage
from trialpress.view.terms import kind_name
from trialpress.words import message, say, say_as

# For translators: words that readers search for, each with what pages call it; where there are
# several, joined by |. Take as many as your language needs.
SYNONYMS = message(
    "thick = rug, pile = rug, pet = hair, dog = hair, cat = hair, quiet = noise, loud = noise, "
    "battery = running time | charge, mop = wet, cheap = prices, price = prices, gap = gapped, "
    "video = film"
)
# For translators: what stands before a price in a search, such as "under 400".
UP_TO = message("under, below, up to, less than, at most, max, until")


def search_index(page: SearchPage, settings: Settings, kinds: Collection[str]) -> str:
    """The index that the search box reads.

    Parameters
    ----------
    page : SearchPage
        Every page that can be found.
    settings : Settings
        For the bench's own synonyms, which go before ours, and its money.
    kinds : collection of str
        The kinds of the machines that can be found.
    """
    pages = [one for group in page.groups for one in group.pages]
    texts = [f"{one.title} {one.extra}".casefold() for one in pages]
    synonyms = {**_listed(say(SYNONYMS)), **settings.synonyms}
    meant = [(word, _leading(ours, texts)) for word, ours in synonyms.items()]
    index: Mapping[str, Json] = {
        "meant": [[word, ours] for word, ours in meant if ours],
        "upTo": [words.strip() for words in say(UP_TO).split(",")],
        "currency": settings.currency,
        "kinds": {kind: kind_name(kind) for kind in sorted(kinds)},
    }
    lines = ",\n".join(json.dumps(_entry(one), ensure_ascii=True) for one in pages)
    head = json.dumps(index, ensure_ascii=True)[1:-1]
    return f'window.trialpressIndex = {{{head}, "pages": [\n{lines}\n]}};\n'


def _listed(text: str) -> dict[str, str]:
    pairs = (pair.partition("=") for pair in text.split(","))
    return {word.strip(): ours.strip() for word, _, ours in pairs}


def _leading(ours: str, texts: Sequence[str]) -> list[Json]:
    """Words that some page answers to. Others would say what is not to be seen yet."""
    return [
        words
        for words in (alternative.strip() for alternative in ours.split("|"))
        if any(all(word in text for word in words.casefold().split()) for text in texts)
    ]


def _entry(one: Match) -> dict[str, Json]:
    """One page under short names: title, kind, address, extra words, price, whether it filters."""
    entry: dict[str, Json] = {
        "t": one.title,
        "k": _kind_words(one.kind),
        "u": one.url,
        "x": one.extra,
    }
    if one.price:
        entry["p"] = float(one.price)
    if one.is_filtered:
        entry["f"] = True
    return entry


def _kind_words(kind: str) -> str:
    """What kind of page one is, beside its title."""
    return {
        "standing": say_as("kind of page", "standing"),
        "comparison": say_as("kind of page", "comparison"),
        "question": say_as("kind of page", "question"),
        "machine": say_as("kind of page", "machine"),
        "maker": say_as("kind of page", "maker"),
        "floor": say_as("kind of page", "floor"),
        "film": say_as("kind of page", "film"),
        "method": say_as("kind of page", "method"),
        "list": say_as("kind of page", "list"),
        "dataset": say_as("kind of page", "dataset"),
        "about": say_as("kind of page", "about"),
    }[kind]
