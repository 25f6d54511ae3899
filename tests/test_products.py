"""A product is made once, whoever makes it, and anew where anything in its order differs."""

from __future__ import annotations

import pickle
from concurrent.futures import BrokenExecutor, Executor, Future, ThreadPoolExecutor
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from trialpress.cache import Cache
from trialpress.charts import Ticket, draw_ticket
from trialpress.products import WORTH_A_START_S, Products, content_of, process_pool
from trialpress.words import ENGLISH, say, speaking
from trialpress.words.catalogue import read_language

GERMAN = b"""msgid ""
msgstr ""
"Content-Type: text/plain; charset=utf-8\\n"
"Plural-Forms: nplurals=2; plural=(n != 1);\\n"

msgid "Place"
msgstr "Platz"
"""
MADE: list[object] = []


@dataclass(frozen=True)
class Label:
    name: str
    values: tuple[float, ...] = ()


def said(label: Label) -> bytes:
    MADE.append(label)
    return f"{say('Place')} {label.name} {label.values}".encode()


def headed(head: str, label: Label) -> bytes:
    return head.encode() + said(label)


def made_of(products: Products, orders: list[Label], head: str = "") -> tuple[list[bytes], int]:
    """The products, and how many of them were made just now."""
    before = len(MADE)
    made = products.make(partial(headed, head) if head else said, orders, each_s=0.001)
    return made, len(MADE) - before


def test_a_product_is_made_once_and_anew_only_where_its_order_differs(tmp_path: Path) -> None:
    products = Products(Cache(tmp_path))
    one, other = Label("one", (1.0,)), Label("one", (1.5,))

    assert made_of(products, [one, other, one]) == (
        [b"Place one (1.0,)", b"Place one (1.5,)", b"Place one (1.0,)"],
        2,
    )
    assert made_of(products, [other, Label("two")]) == ([b"Place one (1.5,)", b"Place two ()"], 1)
    assert made_of(products, [other], head="- ") == ([b"- Place one (1.5,)"], 1)


def test_a_product_is_made_in_every_language(tmp_path: Path) -> None:
    products, language = Products(Cache(tmp_path)), read_language("de", GERMAN)[0]
    assert language is not None

    made_of(products, [Label("one")])
    with speaking(language):
        assert made_of(products, [Label("one")]) == ([b"Platz one ()"], 1)


def test_a_language_is_the_same_in_another_process() -> None:
    language = read_language("de", GERMAN)[0]

    there = pickle.loads(pickle.dumps((language, ENGLISH)))  # noqa: S301  our own

    assert there == (language, ENGLISH)
    assert there[0].translations.gettext("Place") == "Platz"
    assert there[0].translations.ngettext("Place", "Places", 2) == "Places"


@given(st.lists(st.text(max_size=3), max_size=12))
def test_others_make_the_same_products_in_the_same_order(names: list[str]) -> None:
    orders = [Label(name) for name in names]
    with ThreadPoolExecutor(2) as pool:
        by_others = Products(Cache(Path("/dev/null")), lambda: pool, workers=2)

        assert by_others.make(said, orders, each_s=0.001) == [said(order) for order in orders]


class Ending(Executor):
    """Processes that all end before they have made anything."""

    def submit(self, *_: object, **__: object) -> Future[Any]:
        future: Future[Any] = Future()
        future.set_exception(BrokenExecutor("ended"))
        return future


def test_what_another_process_did_not_finish_is_made_here() -> None:
    products = Products(Cache(Path("/dev/null")), Ending, workers=2)

    assert products.make(said, [Label("one")], each_s=0.001) == [b"Place one ()"]


def test_no_other_process_begins_for_work_that_takes_less_than_its_start() -> None:
    begun: list[bool] = []

    def begin() -> Ending:
        begun.append(True)
        return Ending()

    products = Products(Cache(Path("/dev/null")), begin, workers=2, has_begun=lambda: bool(begun))
    for label, each_s, expected in (("a", 1.0, 0), ("b", WORTH_A_START_S, 1), ("c", 0.1, 2)):
        products.make(said, [Label(label)], each_s=each_s)
        assert len(begun) == expected


def test_it_does_not_matter_whether_equal_texts_are_one_object() -> None:
    text = "a place"
    same, equal = (text, text), (text, "".join(list(text)))

    assert content_of(same) == content_of(equal)
    assert content_of(Label(text)) != content_of(Label(text, (0.0,)))


def test_two_processes_draw_the_same_pictures_as_one(tmp_path: Path) -> None:
    tickets = [Ticket("A bench", f"Title {number}", "A sentence.", "") for number in range(3)]
    with process_pool(Cache(tmp_path), 2) as products:
        drawn = products.make(draw_ticket, tickets, each_s=WORTH_A_START_S)

    assert drawn == [draw_ticket(ticket) for ticket in tickets]
