"""Every figure on every still is one that the dataset publishes, with the same digits."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from pathlib import Path

from trialpress.dataset import write_dataset
from trialpress.kit.making import Source, stills_of
from trialpress.kit.request import KitRequest, subject_of
from trialpress.view import View
from trialpress.view.sentences import Sentences
from trialpress.view.terms import write_terms

FIGURE = re.compile(r"\d+(?:\.\d+)?")


def published(folder: Path) -> set[str]:
    """Every figure of the result tables, without its sign: a pair is told from both sides."""
    found = set()
    for file in (folder / "results").glob("*.csv"):
        with file.open(encoding="utf-8") as opened:
            for row in csv.reader(opened):
                found |= {cell.removeprefix("-") for cell in row}
    return found


def figures_of(source: Source) -> Iterator[tuple[str, str]]:
    """The name of a still, and each figure with decimals in its table."""
    for still in stills_of(source):
        for row in still.table.rows:
            for figure in FIGURE.findall(" ".join(row)):
                if "." in figure:
                    yield still.name, figure


def test_every_figure_of_every_kind_of_still_is_published(small_view: View, tmp_path: Path) -> None:
    write_terms(small_view.store)
    write_dataset(small_view.store, tmp_path)
    prices = {f"{machine.price:.2f}" for machine in small_view.machines if machine.price}
    known = published(tmp_path) | prices
    kinds = set()
    for request in (
        KitRequest(setup="one-stock", against=("two-stock",)),
        KitRequest(setup="two-stock"),
        KitRequest(maker="maker-one"),
        KitRequest(top="pickup"),
    ):
        subject = subject_of(small_view, request, {})
        source = Source(small_view, Sentences(small_view), subject, None)
        figures = list(figures_of(source))
        kinds |= {name.partition("-")[0] for name, _ in figures}
        assert {(name, figure) for name, figure in figures if figure not in known} == set()

    assert kinds == {"standing", "runs", "against", "claim", "value", "maker"}
