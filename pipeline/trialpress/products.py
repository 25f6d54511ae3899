"""Pictures and pages: each made once, by as many processes as there are, and kept.

In:  a function that makes bytes from one order, orders, and the language spoken.
Out: the bytes of every order, in their order; the same, whoever made them and whenever.
"""

from __future__ import annotations

import io
import pickle
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import BrokenExecutor, Executor, Future
from dataclasses import dataclass, field
from functools import partial
from typing import TypeVar

from trialpress.cache import Cache, key_of
from trialpress.words import Language, speaking, spoken

Order = TypeVar("Order")
BATCHES = 8
"""Each process gets its share in so many parts, as some products take longer than others."""


@dataclass(frozen=True)
class Products:
    """Where products are kept, and who makes those that are not.

    ``executor`` is asked for only where something has to be made; without one, this process makes
    it. ``workers`` is how many processes it has.
    """

    cache: Cache = field(default_factory=Cache)
    executor: Callable[[], Executor] | None = None
    workers: int = 1
    least: int = 24
    """Fewer products than these are made before another process has begun."""

    def make(self, function: Callable[[Order], bytes], orders: Sequence[Order]) -> list[bytes]:
        """Make every product that is not kept.

        Parameters
        ----------
        function : callable
            Found by its name in any process, or a partial of such a one; its bytes depend on the
            order, the language spoken and what comes with the program, on nothing else.
        orders : sequence
            Of what can be pickled.
        """
        common = content_of(function), _language_content(spoken())
        keys = [key_of("product", *common, content_of(order)) for order in orders]
        made = {key: kept for key in keys if (kept := self.cache.get(key)) is not None}
        missing = {k: order for k, order in zip(keys, orders, strict=True) if k not in made}
        for key, product in zip(missing, self._made(function, [*missing.values()]), strict=True):
            self.cache.put(key, product)
            made[key] = product
        return [made[key] for key in keys]

    def _made(self, function: Callable[[Order], bytes], orders: list[Order]) -> Iterator[bytes]:
        make = partial(_make, function, spoken())
        if self.executor is None or len(orders) < self.least:
            return iter(make(orders))
        size = -(-len(orders) // (self.workers * BATCHES))
        batches = [orders[start : start + size] for start in range(0, len(orders), size)]
        executor = self.executor()
        futures = [executor.submit(make, batch) for batch in batches]
        pairs = zip(futures, batches, strict=True)
        return (product for future, batch in pairs for product in _result(future, make, batch))


def _result(
    future: Future[list[bytes]], make: Callable[[list[Order]], list[bytes]], batch: list[Order]
) -> list[bytes]:
    """What another process made; where that ended in the middle, it is made here."""
    try:
        return future.result()
    except BrokenExecutor:
        return make(batch)


def _make(
    function: Callable[[Order], bytes], language: Language, orders: Sequence[Order]
) -> list[bytes]:
    with speaking(language):
        return [function(order) for order in orders]


def _language_content(language: Language) -> bytes:
    texts = sorted(language.texts.items())
    return repr((language.tag, str(language.locale), language.plural, texts)).encode()


def content_of(order: object) -> bytes:
    """The order as bytes that its values alone decide.

    Without its memo pickle writes what occurs twice twice, so that it does not matter which of two
    equal texts are one object.
    """
    written = io.BytesIO()
    pickler = pickle.Pickler(written, protocol=5)
    pickler.fast = True
    pickler.dump(order)
    return written.getvalue()
