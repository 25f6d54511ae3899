"""Pictures and pages: each made once, by as many processes as there are, and kept.

In:  a function that makes bytes from one order, orders, and the language spoken.
Out: the bytes of every order, in their order; the same, whoever made them and whenever.
"""

from __future__ import annotations

import functools
import io
import pickle
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import BrokenExecutor, Executor, Future, ProcessPoolExecutor
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from functools import partial
from multiprocessing import get_context
from typing import TypeVar

from trialpress.cache import Cache, key_of, templates_digest
from trialpress.words import Language, speaking, spoken

Order = TypeVar("Order")
BATCHES = 8
"""Each process gets its share in so many parts, as some products take longer than others."""
WORTH_A_START_S = 2.4
"""Work of fewer seconds is done by this process: another takes 1.2 s to begin, and does a half."""


@dataclass(frozen=True)
class Products:
    """Where products are kept, and who makes those that are not.

    ``executor`` is asked for only where something has to be made; without one, this process makes
    it. ``workers`` is how many processes it has, ``has_begun`` whether they wait for work, ``lost``
    what it raises where one has ended in the middle.
    """

    cache: Cache = field(default_factory=Cache)
    executor: Callable[[], Executor] | None = None
    workers: int = 1
    has_begun: Callable[[], bool] = lambda: True
    lost: tuple[type[BaseException], ...] = (BrokenExecutor,)

    def make(
        self, function: Callable[[Order], bytes], orders: Sequence[Order], *, each_s: float
    ) -> list[bytes]:
        """Make every product that is not kept.

        Parameters
        ----------
        function : callable
            Found by its name in any process, or a partial of such a one; its bytes depend on the
            order, the language spoken and what comes with the program, on nothing else.
        orders : sequence
            Of what can be pickled.
        each_s : float
            About how long one takes, in seconds; it decides whether others are worth beginning.
        """
        templates = templates_digest()
        common = content_of(function), _language_content(spoken()), templates
        keys = [key_of("product", *common, content_of(order)) for order in orders]
        made = {key: kept for key in keys if (kept := self.cache.get(key)) is not None}
        missing = {k: order for k, order in zip(keys, orders, strict=True) if k not in made}
        made_now = self._made(function, [*missing.values()], each_s)
        made.update(zip(missing, made_now, strict=True))
        if templates_digest() == templates:  # else somebody saved one meanwhile
            for key in missing:
                self.cache.put(key, made[key])
        return [made[key] for key in keys]

    def _made(
        self, function: Callable[[Order], bytes], orders: list[Order], each_s: float
    ) -> Iterator[bytes]:
        make = partial(_make, function, spoken())
        is_little = len(orders) * each_s < WORTH_A_START_S and not self.has_begun()
        if self.executor is None or not orders or is_little:
            return iter(make(orders))
        size = -(-len(orders) // (self.workers * BATCHES))
        batches = [orders[start : start + size] for start in range(0, len(orders), size)]
        executor = self.executor()
        futures = [self._submitted(executor, make, batch) for batch in batches]
        pairs = zip(futures, batches, strict=True)
        return (product for future, batch in pairs for product in self._result(future, make, batch))

    def _submitted(
        self, executor: Executor, make: Callable[[list[Order]], list[bytes]], batch: list[Order]
    ) -> Future[list[bytes]] | None:
        try:
            return executor.submit(make, batch)
        except self.lost:
            return None

    def _result(
        self,
        future: Future[list[bytes]] | None,
        make: Callable[[list[Order]], list[bytes]],
        batch: list[Order],
    ) -> list[bytes]:
        """What another process made; where that ended in the middle, it is made here."""
        try:
            return make(batch) if future is None else future.result()
        except self.lost:
            return make(batch)


@contextmanager
def process_pool(cache: Cache, workers: int) -> Iterator[Products]:
    """Products made by several processes, which begin only where many are to be made.

    Parameters
    ----------
    cache : Cache
        Where products are kept.
    workers : int
        Number of processes; with one, this process makes all.
    """
    with ExitStack() as stack:

        @functools.cache
        def executor() -> Executor:
            # Not a copy of this process, which may hold locks of a database just then.
            context = get_context("spawn")
            return stack.enter_context(ProcessPoolExecutor(workers, mp_context=context))

        def has_begun() -> bool:
            return executor.cache_info().currsize > 0

        yield Products(cache, executor if workers > 1 else None, workers, has_begun)


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
