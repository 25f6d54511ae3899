"""Where templates are found, and how a page's object becomes HTML.

In:  the bench's own ``site_templates/`` and the templates shipped with the package.
Out: text. A bench's own template wins over the shipped one of the same name.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from pathlib import Path
from typing import ClassVar, Protocol, TypeVar

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import escape

from trialpress.site.frame import Frame
from trialpress.words import figures, form, say, say_as
from trialpress.words.markup import has_markup

STATIC = "static"
_PERCENT = re.compile(r"(%\(\w+\)s|%%)|%")

PageKind = TypeVar("PageKind")


class Page(Protocol):
    """What every page's object has."""

    template: ClassVar[str]

    @property
    def frame(self) -> Frame:
        """What is around the page."""


def of_kind(pages: Iterable[Page], kind: type[PageKind]) -> Iterator[PageKind]:
    """The pages of one kind among others, in their order."""
    return (page for page in pages if isinstance(page, kind))


def environment(folders: Sequence[Path]) -> Environment:
    """A strict environment that looks a template up in ``folders``, in their order.

    It is kept, so that a process that builds again and again compiles a template once; one that was
    saved anew is noticed.
    """
    return _environment(tuple(folders))


@cache
def _environment(folders: tuple[Path, ...]) -> Environment:
    made = Environment(
        extensions=["jinja2.ext.i18n"],
        loader=FileSystemLoader(folders),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    made.policies["ext.i18n.trimmed"] = True
    made.install_gettext_callables(_looked_up, _counted, newstyle=True, pgettext=_in_its_meaning)  # type: ignore[attr-defined]
    made.globals["count"] = figures.count
    return made


def _looked_up(text: str) -> str:
    """A text of a template, its translation made safe to stand in a page."""
    return _safe(say(text), text)


def _counted(one: str, many: str, how_many: int) -> str:
    return _safe(form(one, many, how_many), one)


def _in_its_meaning(meaning: str, text: str) -> str:
    return _safe(say_as(meaning, text), text)


def _safe(said: str, text: str) -> str:
    """A translation with no more tags, and no more places to fill, than the English text has."""
    if said == text:
        return said
    if not has_markup(text):
        said = str(escape(said))
    return _PERCENT.sub(lambda found: found[1] or "%%", said)


def render(templates: Environment, page: Page) -> str:
    """One page as HTML."""
    return templates.get_template(page.template).render(page=page)
