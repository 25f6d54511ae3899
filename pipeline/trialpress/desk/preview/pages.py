"""The pages beside the site, for the tester's browser alone: addresses, files, questions.

In:  one ``WorkingPage`` a job, from ``working_pages`` in ``server.py``; the secret of the session.
Out: its HTML with the secret and the list of pages in it; what answers an address or a question.

A new page is one more ``WorkingPage``: its files lie in ``site_templates/sheet/``, its template
extends ``working.html``, and its parts are served as ``/sheet/<name>``; its questions are posted to
``<path>/<name>`` with the secret, as ``ask`` in ``asking.js`` does; what it only reads is got from
``<path>/<name>``. Nobody who has not opened the printed address gets the page or its answers, and
nobody without the secret may post.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from html import escape

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from trialpress.charts import shipped_templates
from trialpress.desk.preview.site_files import HTML, Answer

Json = Mapping[str, object]
Question = Callable[[object], Json]
"""What a page posts: JSON in, JSON out. Faults are raised, as ``TrialpressError``."""
Reading = Callable[[str], Answer]
"""What a page gets: the part of the address behind ``?`` in, bytes and their type out."""

MOST_BYTES = 999_999
SHARED_PARTS = ("sheet.css", "asking.js")
LIVE_PARTS = ("live.css", "live.js")
"""The bar that follows the build: it names files, runs and set-ups."""


@dataclass(frozen=True)
class WorkingPage:
    """One page; it stands in the list of pages unless it has no title.

    ``parts`` are style sheets and scripts of its own, ``is_live`` whether it has the bar that
    follows the build.
    """

    path: str
    file: str
    title: str = ""
    parts: tuple[str, ...] = ()
    questions: Mapping[str, Question] = field(default_factory=dict)
    readings: Mapping[str, Reading] = field(default_factory=dict)
    most_bytes: int = MOST_BYTES
    is_for_phones: bool = False
    is_live: bool = True

    @property
    def all_parts(self) -> tuple[str, ...]:
        """Its style sheets and scripts in the order in which they are loaded."""
        return (*SHARED_PARTS, *self.parts, *(LIVE_PARTS if self.is_live else ()))


@dataclass(frozen=True)
class Pages:
    """The table of addresses of one preview; ``aside`` is HTML behind the list of pages."""

    pages: Sequence[WorkingPage]
    aside: str = ""

    @property
    def parts(self) -> frozenset[str]:
        """The names of all style sheets and scripts; there is nothing private in them."""
        return frozenset(LIVE_PARTS).union(*(page.all_parts for page in self.pages))

    def page_at(self, path: str) -> WorkingPage | None:
        """The page that has an address, if any."""
        return next((page for page in self.pages if page.path == path), None)

    def reading_at(self, path: str) -> Reading | None:
        """What answers a private address below a page."""
        page, name = self._below(path)
        return page.readings.get(name) if page else None

    def question_at(self, path: str) -> tuple[Question | None, int]:
        """What answers a post, and how many bytes it takes."""
        page, name = self._below(path)
        return (page.questions.get(name), page.most_bytes) if page else (None, MOST_BYTES)

    def html(self, page: WorkingPage, token: str) -> Answer:
        """A page with the secret of this session and the list of pages in it."""
        environment = Environment(
            loader=FileSystemLoader(shipped_templates()),
            autoescape=True,
            undefined=StrictUndefined,
            trim_blocks=True,
            keep_trailing_newline=True,
        )
        template = environment.get_template(f"sheet/{page.file}")
        text = template.render(page=page, token=token, pages=Markup(self._listed(page)))  # noqa: S704
        return Answer(200, HTML, text.encode())

    def _below(self, path: str) -> tuple[WorkingPage | None, str]:
        folder, _, name = path.rpartition("/")
        return self.page_at(folder), name

    def _listed(self, current: WorkingPage) -> str:
        """The links at the top; the page that is open is marked, not only by colour."""
        links = [(page.path, page.title) for page in self.pages if page.title]
        if len(links) == 1:
            return self.aside
        items = (
            f'<li><a href="{escape(path)}"{_mark(path == current.path)}>{escape(title)}</a></li>'
            for path, title in links
        )
        nav = f'<nav class="pages" aria-label="Working pages"><ul>{"".join(items)}</ul></nav>'
        return nav + self.aside


def _mark(is_current: bool) -> str:  # noqa: FBT001
    return ' aria-current="page"' if is_current else ""


def json_answer(content: object, status: int = 200) -> Answer:
    """Anything of JSON as an answer."""
    body = json.dumps(content, ensure_ascii=False).encode()
    return Answer(status, "application/json", body)
