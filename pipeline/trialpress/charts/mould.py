"""Charts are cast: each kind is compiled once, then data and signals are poured in.

In:  a Vega-Lite specification whose data are named and whose variable parts are signals.
Out: compiled Vega specifications, one for each pouring.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any

import vl_convert

from trialpress.charts.chart import Json

if TYPE_CHECKING:
    from _typeshed import DataclassInstance


@dataclass(frozen=True)
class Mould:
    """A compiled kind of chart, as JSON text, so that no pouring can change it."""

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
        return specification


def compile_mould(vega_lite: Mapping[str, Json]) -> Mould:
    """Compile one kind of chart; the ground stays clear, as the page has its own."""
    specification = vl_convert.vegalite_to_vega(dict(vega_lite))
    del specification["background"]
    return Mould(json.dumps(specification))


def _named(parts: list[dict[str, Any]], name: str) -> dict[str, Any]:
    for part in parts:
        if part["name"] == name:
            return part
    message = f"the chart has no part called {name}"
    raise ValueError(message)
