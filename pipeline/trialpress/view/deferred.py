"""Values by key that are made when they are first asked for.

In:  keys, each with a function that makes its value.
Out: a mapping; whoever waits for one page pays for what stands on it alone.

Short: one class, that charts, explanations and pages have in common.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import TypeVar

Key = TypeVar("Key")
Value = TypeVar("Value")


class Deferred(Mapping[Key, Value]):
    """A mapping whose keys are known and whose values are made once, each when it is asked for."""

    def __init__(self, makers: Mapping[Key, Callable[[], Value]]) -> None:
        self._makers = makers
        self._made: dict[Key, Value] = {}

    def __getitem__(self, key: Key) -> Value:
        if key not in self._made:
            self._made[key] = self._makers[key]()
        return self._made[key]

    def __contains__(self, key: object) -> bool:
        return key in self._makers  # without the value being made

    def __iter__(self) -> Iterator[Key]:
        return iter(self._makers)

    def __len__(self) -> int:
        return len(self._makers)
