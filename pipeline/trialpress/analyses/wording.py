"""The words of tables that SQL alone works out.

In:  tables ``machine_values`` and ``setup_deltas`` with codes in columns that people read.
Out: the same tables with words in their place.
"""

from __future__ import annotations

from trialpress.store import Store
from trialpress.words import figures, say


def put_words(store: Store) -> None:
    """Put words in the place of every code."""
    store.put_words("machine_values", "price_band", _price_bands(store))
    store.put_words(
        "machine_values", "why", {"none-as-unboxed": say("none of its set-ups is as unboxed")}
    )
    store.put_words(
        "setup_deltas",
        "why",
        {
            # For translators: follows "cannot tell one set-up from the other, as".
            "no-run": say("the set-up has no valid run in this series"),
            # For translators: follows "cannot tell one set-up from the other, as".
            "no-run-of-other": say("the other set-up has no valid run in this series"),
        },
    )


def _price_bands(store: Store) -> dict[str, str]:
    bands = store.frame(
        "select distinct price_band from machine_values where price_band is not null"
    )
    return {band: _price_band(band) for band in bands["price_band"]}


def _price_band(band: str) -> str:
    low, high = (figures.typed_number(float(end)) for end in band.split("|"))
    return say("{low} to {high}", low=low, high=high)
