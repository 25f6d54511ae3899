"""Charts are cast: each kind is compiled once, then data and signals are poured in.

In:  a Vega-Lite specification whose data are named and whose variable parts are signals.
Out: compiled Vega specifications, one for each pouring, that write numbers as the language spoken
     does.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any

import vl_convert
from babel.numbers import get_decimal_symbol, get_group_symbol

from trialpress.charts.chart import Json
from trialpress.words import spoken

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

ENGLISH_SIGNS = (".", ",")


@dataclass(frozen=True)
class Mould:
    """A compiled kind of chart, as JSON text, so that no pouring can change it.

    It is the same in every language but for words that it was compiled with.
    """

    text: str

    def pour(
        self,
        data: Mapping[str, Sequence[DataclassInstance]],
        signals: Mapping[str, Json],
    ) -> dict[str, Json]:
        """A compiled Vega specification with these rows and signal values in it.

        Raises
        ------
        ValueError
            If the kind has no such data set or signal.
        """
        specification: dict[str, Any] = json.loads(self.text)
        for name, records in data.items():
            part = _named(specification["data"], name)
            part["values"] = [asdict(record) for record in records]
        for name, value in signals.items():
            _named(specification["signals"], name)["value"] = value
        _write_numbers_as_spoken(specification)
        return specification


def compile_mould(vega_lite: Mapping[str, Json]) -> Mould:
    """Compile one kind of chart; the ground stays clear, as the page has its own."""
    specification = vl_convert.vegalite_to_vega(dict(vega_lite))
    del specification["background"]
    return Mould(json.dumps(specification))


def _write_numbers_as_spoken(specification: dict[str, Any]) -> None:
    """Decimal and group signs for whatever Vega writes itself, which is English unless told.

    Thousands are grouped in every language, as in the texts beside a chart.
    """
    decimal, group = get_decimal_symbol(spoken().locale), get_group_symbol(spoken().locale)
    if (decimal, group) != ENGLISH_SIGNS:
        signs = {"decimal": decimal, "thousands": group, "grouping": [3], "currency": ["", ""]}
        specification.setdefault("config", {})["locale"] = {"number": signs}


def _named(parts: list[dict[str, Any]], name: str) -> dict[str, Any]:
    for part in parts:
        if part["name"] == name:
            return part
    message = f"the chart has no part called {name}"
    raise ValueError(message)
