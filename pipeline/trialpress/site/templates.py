"""Where templates are found, and how a page's object becomes HTML.

In:  the bench's own ``site_templates/`` and the templates shipped with the package.
Out: text. A bench's own template wins over the shipped one of the same name.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import lru_cache
from pathlib import Path
from typing import ClassVar, Protocol, TypeAlias, TypeVar

from jinja2 import ChoiceLoader, DictLoader, Environment, FileSystemLoader, StrictUndefined
from markupsafe import escape

from trialpress.charts import shipped_templates
from trialpress.site.frame import Frame
from trialpress.words import figures, form, say, say_as
from trialpress.words.markup import has_markup

STATIC, SHEET = "static", "sheet"  # what is no template of a page
_PERCENT = re.compile(r"(%\(\w+\)s|%%)|%")

PageKind = TypeVar("PageKind")
Templates: TypeAlias = tuple[tuple[str, str], ...]
"""Names and texts of templates."""


class Page(Protocol):
    """What every page's object has."""

    template: ClassVar[str]

    @property
    def frame(self) -> Frame:
        """What is around the page."""


def of_kind(pages: Iterable[Page], kind: type[PageKind]) -> Iterator[PageKind]:
    """The pages of one kind among others, in their order."""
    return (page for page in pages if isinstance(page, kind))


def own_templates(folder: Path) -> Templates:
    """The templates with which a bench replaces shipped ones, by their names, as they are now."""
    files = {path.relative_to(folder): path for path in folder.rglob("*") if path.is_file()}
    return tuple(
        (name.as_posix(), files[name].read_text("utf-8"))
        for name in sorted(files)
        if name.parts[0] not in {STATIC, SHEET}
    )


@lru_cache(maxsize=4)
def environment(own: Templates = ()) -> Environment:
    """A strict environment: a bench's own templates, then the shipped ones.

    It is kept, so that a process that builds again and again compiles a template once.
    """
    made = Environment(
        extensions=["jinja2.ext.i18n"],
        loader=ChoiceLoader([DictLoader(dict(own)), FileSystemLoader(shipped_templates())]),
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


def render(own: Templates, page: Page) -> bytes:
    """One page as HTML, by a bench's own templates and the shipped ones."""
    return environment(own).get_template(page.template).render(page=page).encode()
