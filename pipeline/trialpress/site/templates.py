"""Where templates are found, and how a page's object becomes HTML.

In:  the bench's own ``site_templates/`` and the templates shipped with the package.
Out: text. A bench's own template wins over the shipped one of the same name.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import ClassVar, Protocol

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from trialpress.site.frame import Frame
from trialpress.words import figures, form, say, say_as

FOLDER = "site_templates"
STATIC = "static"
_PERCENT = re.compile(r"(%\(\w+\)s|%%)|%")


class Page(Protocol):
    """What every page's object has."""

    template: ClassVar[str]

    @property
    def frame(self) -> Frame:
        """What is around the page."""


def shipped_templates() -> Path:
    """The site's own templates: inside the package, or beside ``pipeline/`` in a checkout."""
    package = Path(__file__).resolve().parents[1]
    installed = package / FOLDER
    return installed if installed.is_dir() else package.parents[1] / FOLDER


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
    made.install_gettext_callables(_looked_up, form, newstyle=True, pgettext=say_as)  # type: ignore[attr-defined]
    made.globals["count"] = figures.count
    return made


def _looked_up(text: str) -> str:
    """A text of a template, where a lone percent sign of a translation is no place to fill."""
    said = say(text)
    return said if said == text else _PERCENT.sub(lambda found: found[1] or "%%", said)


def render(templates: Environment, page: Page) -> str:
    """One page as HTML."""
    return templates.get_template(page.template).render(page=page)
