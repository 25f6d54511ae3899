"""Compiled forms of charts, filled with data, signals and words.

In:  compiled Vega specifications in ``compiled/``, as ``forms`` made them with the package.
Out: the same with rows in them, that write numbers as the language spoken does.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from trialpress.charts.chart import Json
from trialpress.words import spoken

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

ENGLISH_SIGNS = (".", ",")


@dataclass(frozen=True)
class Form:
    """A compiled kind of chart, as JSON text, so that no filling can change it."""

    text: str

    def filled(
        self,
        data: Mapping[str, Sequence[DataclassInstance]],
        signals: Mapping[str, Json],
        words: Mapping[str, str] = MappingProxyType({}),
    ) -> dict[str, Json]:
        """A compiled Vega specification with these rows, signal values and words in it.

        Raises
        ------
        ValueError
            If the kind has no such data set, signal or word.
        """
        specification: dict[str, Any] = json.loads(self._worded(words))
        for name, records in data.items():
            part = _named(specification["data"], name)
            part["values"] = [_as_json(record) for record in records]
        for name, value in signals.items():
            _named(specification["signals"], name)["value"] = value
        _write_numbers_as_spoken(specification)
        return specification

    def _worded(self, words: Mapping[str, str]) -> str:
        text = self.text
        for name, word in words.items():
            place = json.dumps(place_of(name))
            if place not in text:
                message = f"the chart has no word called {name}"
                raise ValueError(message)
            text = text.replace(place, json.dumps(word))
        return text


def _as_json(record: DataclassInstance) -> dict[str, Json]:
    """A record of texts and numbers, which nothing need be copied of."""
    return {column.name: getattr(record, column.name) for column in fields(record)}


def place_of(name: str) -> str:
    """What stands in a form where a word will be."""
    return f"{{{name}}}"


@cache
def read_form(name: str) -> Form:
    """A form that came with the package, such as ``ladder-wide``."""
    return Form(files(__package__).joinpath(f"compiled/{name}.json").read_text(encoding="utf-8"))


def _write_numbers_as_spoken(specification: dict[str, Any]) -> None:
    """Decimal and group signs for whatever Vega writes itself, which is English unless told.

    Thousands are grouped in every language, as in the texts beside a chart.
    """
    decimal, group = (spoken().signs[ord(sign)] for sign in ENGLISH_SIGNS)
    if (decimal, group) != ENGLISH_SIGNS:
        signs = {"decimal": decimal, "thousands": group, "grouping": [3], "currency": ["", ""]}
        specification.setdefault("config", {})["locale"] = {"number": signs}


def _named(parts: list[dict[str, Any]], name: str) -> dict[str, Any]:
    for part in parts:
        if part["name"] == name:
            return part
    message = f"the chart has no part called {name}"
    raise ValueError(message)
