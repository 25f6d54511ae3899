"""Windows that tests leave to each other: a used one is like a new one, and watched like it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from web.conftest import Reader, opening


@pytest.fixture
def newcomer(reader: Reader) -> Iterator[Reader]:
    """A reader who has no window yet."""
    begun = Reader(reader.context)
    yield begun
    for page in begun.idle:
        page.close()


def test_nothing_of_an_earlier_test_is_left_in_a_window(
    newcomer: Reader, small_standing: Path
) -> None:
    with opening({True: newcomer}) as open_page:
        page = open_page(small_standing, dark=True)
        page.evaluate("window.isOld = true")
        page.emulate_media(media="print", reduced_motion="reduce")
        page.locator("h1, table").first.hover()
        page.route("**/*", lambda route: route.abort())

    with opening({True: newcomer}) as open_page:
        again = open_page(f"{small_standing.as_uri()}#below")

        assert again is page
        assert again.evaluate("window.isOld === undefined")
        assert again.locator("body :hover").count() == 0
        for asked in ("print", "(prefers-reduced-motion)", "(prefers-color-scheme: dark)"):
            assert not again.evaluate("asked => matchMedia(asked).matches", asked), asked


def test_an_error_is_one_of_the_test_that_made_it(newcomer: Reader, small_standing: Path) -> None:
    with (
        pytest.raises(AssertionError, match="as the test ends"),
        opening({True: newcomer}) as open_page,
    ):
        open_page(small_standing).evaluate("setTimeout(() => console.error('as the test ends'), 0)")

    with opening({True: newcomer}) as open_page:
        open_page(small_standing)
    assert len(newcomer.idle) == 1
