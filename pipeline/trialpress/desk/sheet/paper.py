"""A run sheet on paper.

In:  a sheet, and the method text of each protocol.
Out: one HTML page with boxes to write in, the steps and cautions of each protocol, target doses.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path

from jinja2 import Environment, PackageLoader, StrictUndefined
from markdown_it import MarkdownIt
from markupsafe import Markup

from trialpress.bench import TABLE_OF_READING, Bench
from trialpress.desk.replacing import replace_durably
from trialpress.desk.sheet.run_sheet import PlannedRun, RunSheet
from trialpress.site.methods import method_html
from trialpress.view.plans import Tally

NEEDED_SECTIONS = frozenset({"steps", "cautions"})
BOXES: Mapping[str, tuple[str, ...]] = {
    "weighings": ("dose, g", "before, g", "after, g"),
    "values": ("value",),
    "counts": ("hits", "tries"),
    "gradings": ("grade of each zone",),
}


@dataclass(frozen=True)
class Block:
    """The runs of one protocol on one floor, with what has to be known for them."""

    title: str
    floor: str
    protocol: str
    version: int
    target: str
    boxes: tuple[str, ...]
    runs: tuple[PlannedRun, ...]
    method: Markup


@dataclass(frozen=True)
class SheetPage:
    """What the page shows."""

    day: str
    note: str
    blocks: tuple[Block, ...]


def write_sheet_page(bench: Bench, sheet: RunSheet, methods: Mapping[str, str]) -> Path:
    """Write ``build/sheets/<day>.html`` and give its path."""
    file = bench.root / "build" / "sheets" / f"{sheet.day}.html"
    environment = Environment(
        loader=PackageLoader("trialpress.desk.sheet", "pages"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    page = SheetPage(sheet.day, sheet.note, tuple(_blocks(sheet, methods)))
    text = environment.get_template("sheet.html").render(page=page)
    replace_durably(file, text.encode("utf-8"))
    return file


def _blocks(sheet: RunSheet, methods: Mapping[str, str]) -> list[Block]:
    blocks = []
    for _, members in groupby(
        sheet.runs, key=lambda run: (run.tally.floor or "", run.tally.protocol)
    ):
        runs = tuple(members)
        tally = runs[0].tally
        blocks.append(
            Block(
                title=tally.title,
                floor=tally.floor or "",
                protocol=tally.protocol,
                version=tally.version,
                target=_target(tally),
                boxes=_boxes(tally),
                runs=runs,
                method=method_html(steps_and_cautions(methods.get(tally.protocol, ""))),
            )
        )
    return blocks


def _boxes(tally: Tally) -> tuple[str, ...]:
    boxes = BOXES[TABLE_OF_READING[tally.reading]]
    if tally.reading == "left":
        boxes = (*boxes, "blank, g")  # what a cloth that was not used gained
    return tuple(f"{box}, {tally.unit}" if box == "value" else box for box in boxes)


def _target(tally: Tally) -> str:
    if tally.dose_g is None:
        return ""
    tolerance = f", within {tally.dose_tolerance_g:g} g" if tally.dose_tolerance_g else ""
    return f"Target dose {tally.dose_g:g} g{tolerance}."


def steps_and_cautions(method: str) -> str:
    """The sections of a method that are needed at the bench; all of it where none is so called."""
    lines = method.splitlines()
    tokens = MarkdownIt("commonmark").parse(method)
    starts = [
        (token.map[0], tokens[i + 1].content.strip().lower(), token.tag)
        for i, token in enumerate(tokens)
        if token.type == "heading_open" and token.map is not None and token.level == 0
    ]
    kept: list[str] = []
    for i, (start, heading, level) in enumerate(starts):
        if heading in NEEDED_SECTIONS:
            ends = [line for line, _, other in starts[i + 1 :] if other <= level]
            kept += lines[start : ends[0] if ends else len(lines)]
    return "\n".join(kept) if kept else method
