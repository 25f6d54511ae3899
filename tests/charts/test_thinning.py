"""Thin pictures: fewer parts, the same to look at."""

from __future__ import annotations

from typing import Any
from xml.etree import ElementTree as ET

import vl_convert

from charts.hand_filled import Entry, view_of
from trialpress.charts import draw_charts
from trialpress.charts.thinning import thin

GROUND = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 40">'


def thinned(inner: str) -> str:
    root = ET.fromstring(f"{GROUND}{inner}</svg>")  # noqa: S314 -- written by the test itself
    thin(root)
    text = ET.tostring(root, encoding="unicode")
    return text[text.index(">") + 1 : text.rindex("</svg>")].replace(" />", "/>")


def test_what_is_never_painted_is_left_out() -> None:
    seen = '<path d="M0,0h9v9Z" fill="#1a2129"/>'

    assert thinned(f'<g fill="none"><path d="M0,0h9v9Z"/>{seen}</g>') == (
        '<g fill="#1a2129"><path d="M0,0h9v9Z"/></g>'
    )
    assert thinned(f'{seen}<path d="" display="none" fill="#1a2129"/>') == seen
    assert thinned(f'{seen}<path d="M0,0h9v9Z" fill="transparent"/><g/>') == seen


def test_a_shape_painted_by_the_group_around_it_stays() -> None:
    group = '<g stroke="#1a2129"><line x1="3" x2="9"/></g>'

    assert thinned(group) == group


def test_what_cuts_other_shapes_stays_though_it_is_not_painted() -> None:
    cut = '<defs><clipPath id="a"><path d="M0,0h9v9Z"/></clipPath></defs>'

    assert thinned(cut) == cut


def test_what_all_parts_of_a_group_agree_on_is_said_once() -> None:
    parts = '<text fill="#1a2129" font-size="12px">one</text><text fill="#1a2129">two</text>'

    assert thinned(f'<g transform="translate(2,2)">{parts}</g>') == (
        '<g transform="translate(2,2)" fill="#1a2129">'
        '<text font-size="12px">one</text><text>two</text></g>'
    )


def test_groups_that_say_nothing_give_way_to_what_is_in_them_in_order() -> None:
    one, two, three = (f'<path d="M0,0h{i}Z" fill="#1a2129"/>' for i in (1, 2, 3))

    assert thinned(f"{one}<g><g>{two}</g></g>{three}") == one + two + three


def test_a_thinned_chart_is_the_same_picture_as_the_one_it_came_from() -> None:
    entries = (
        Entry("one-stock", 94.0, 92.5, 95.5, (1, 2), top="certain", runs=(93.0, 95.0)),
        Entry("one-slow", 88.0, 82.0, 94.0, (2, 3), provisional=True, on_one_run=True),
    )
    vega: dict[str, Any] = draw_charts(view_of(entries)).standings["carpet", 1].vega
    whole = vl_convert.vega_to_svg(vega)
    root = ET.fromstring(whole)  # noqa: S314 -- drawn a line above
    before = sum(1 for _ in root.iter())

    thin(root)

    small = ET.tostring(root, encoding="unicode")
    assert sum(1 for _ in root.iter()) < 0.7 * before
    assert vl_convert.svg_to_png(small) == vl_convert.svg_to_png(whole)
